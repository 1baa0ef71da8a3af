-- One transaction, whole or not at all; old code keeps running on it, so add before you take away.

-- CreateTable
CREATE TABLE "equipment_item" (
    "id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "name_key" TEXT NOT NULL,
    "latest_number" INTEGER NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "retired_at" TIMESTAMPTZ(3),

    CONSTRAINT "equipment_item_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "equipment_version" (
    "item_id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "org_id" UUID NOT NULL,
    "bytes" TEXT NOT NULL,
    "sha256" TEXT NOT NULL,
    "note" TEXT NOT NULL,
    "author_id" UUID NOT NULL,
    "author_name" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "equipment_version_pkey" PRIMARY KEY ("item_id","number")
);

-- CreateTable
CREATE TABLE "equipment_import" (
    "id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "file_name" TEXT NOT NULL,
    "bytes" BYTEA NOT NULL,
    "options" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_by" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "applied_at" TIMESTAMPTZ(3),

    CONSTRAINT "equipment_import_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "equipment_item_org_id_created_at_id_idx" ON "equipment_item"("org_id", "created_at", "id");

-- CreateIndex
CREATE INDEX "equipment_import_org_id_idx" ON "equipment_import"("org_id");

-- ---- plain laws ----
ALTER TABLE equipment_item ADD CHECK (kind IN ('hoist', 'part', 'cabinet', 'arrayFrame', 'truss', 'cable'));
ALTER TABLE equipment_import ADD CHECK (kind IN ('hoist', 'part', 'cabinet', 'truss', 'cable'));
ALTER TABLE equipment_version ADD CHECK (number > 0 AND sha256 = encode(sha256(convert_to(bytes, 'UTF8')), 'hex'));
-- what is in use has a name of its own among its kind; a retired item gives its name up
CREATE UNIQUE INDEX equipment_item_name ON equipment_item (org_id, kind, name_key) WHERE retired_at IS NULL;

-- ---- a version belongs to whom its item belongs, and is the next one ----
CREATE FUNCTION take_item_org() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE item record;
BEGIN
  SELECT org_id, latest_number INTO STRICT item FROM equipment_item WHERE id = NEW.item_id;
  IF NEW.number <> item.latest_number THEN
    RAISE EXCEPTION 'version % is not the latest of its item', NEW.number;
  END IF;
  NEW.org_id := item.org_id;
  RETURN NEW;
END $$;
CREATE TRIGGER take_item_org BEFORE INSERT ON equipment_version FOR EACH ROW EXECUTE FUNCTION take_item_org();

-- ---- an item keeps its kind, counts only upwards, and stays retired ----
CREATE FUNCTION keep_item() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.kind <> OLD.kind OR NEW.version <= OLD.version OR NEW.latest_number < OLD.latest_number OR OLD.retired_at IS NOT NULL THEN
    RAISE EXCEPTION 'an item of equipment cannot change like this';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER keep_item BEFORE UPDATE ON equipment_item FOR EACH ROW EXECUTE FUNCTION keep_item();
CREATE TRIGGER keep_orgs BEFORE UPDATE ON equipment_item FOR EACH ROW EXECUTE FUNCTION keep_orgs();
CREATE TRIGGER keep_orgs BEFORE UPDATE ON equipment_import FOR EACH ROW EXECUTE FUNCTION keep_orgs();

-- ---- versions are written once ----
CREATE TRIGGER written_once BEFORE UPDATE OR DELETE ON equipment_version FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER never_emptied BEFORE TRUNCATE ON equipment_version FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- ---- who sees what ----
DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['equipment_item', 'equipment_version', 'equipment_import'] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY own ON %I USING (org_id = (SELECT app_org())) WITH CHECK (org_id = (SELECT app_org()))', t);
  END LOOP;
END $$;
GRANT SELECT, INSERT, UPDATE ON equipment_item, equipment_import TO roofbook_app;
GRANT SELECT, INSERT ON equipment_version TO roofbook_app;
