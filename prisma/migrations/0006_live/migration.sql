-- One transaction, whole or not at all; old code keeps running on it, so add before you take away.

-- ---- who has a proposal or a space open: no history, gone with a crash of the database and soon after one of a process ----
CREATE UNLOGGED TABLE "presence" (
    "stream_id" UUID NOT NULL,
    "subject_id" UUID NOT NULL,
    "org_id" UUID NOT NULL,
    "other_org_id" UUID,
    "person_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "until" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "presence_pkey" PRIMARY KEY ("stream_id")
);
CREATE INDEX "presence_subject_id_idx" ON "presence"("subject_id");

ALTER TABLE presence ENABLE ROW LEVEL SECURITY;
ALTER TABLE presence FORCE ROW LEVEL SECURITY;
GRANT SELECT, INSERT, UPDATE, DELETE ON presence TO roofbook_app;
CREATE POLICY own ON presence USING (org_id = (SELECT app_org())) WITH CHECK (org_id = (SELECT app_org()));
CREATE POLICY other_side ON presence FOR SELECT USING (other_org_id = (SELECT app_org()));

CREATE FUNCTION tell_presence() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_notify('roofbook_presence', coalesce(NEW.subject_id, OLD.subject_id)::text);
  RETURN NULL;
END $$;
CREATE TRIGGER told AFTER INSERT OR DELETE ON presence FOR EACH ROW EXECUTE FUNCTION tell_presence();
CREATE TRIGGER told_to_other_side AFTER UPDATE ON presence FOR EACH ROW
  WHEN (OLD.other_org_id IS DISTINCT FROM NEW.other_org_id) EXECUTE FUNCTION tell_presence();

-- ---- a sign-in that is no more what it was: whoever keeps a connection open for that person looks again, in every process ----
CREATE FUNCTION tell_sign_in() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_notify('roofbook_sign_in', coalesce(to_jsonb(NEW) ->> 'person_id', to_jsonb(NEW) ->> 'id'));
  RETURN NULL;
END $$;
CREATE TRIGGER told AFTER UPDATE OF ended_at ON session FOR EACH ROW
  WHEN (OLD.ended_at IS DISTINCT FROM NEW.ended_at) EXECUTE FUNCTION tell_sign_in();
CREATE TRIGGER told AFTER UPDATE OF disabled_at ON person FOR EACH ROW
  WHEN (OLD.disabled_at IS DISTINCT FROM NEW.disabled_at) EXECUTE FUNCTION tell_sign_in();
CREATE TRIGGER told AFTER UPDATE OF roles, ended_at ON membership FOR EACH ROW EXECUTE FUNCTION tell_sign_in();
CREATE TRIGGER told AFTER UPDATE OF revoked_at ON api_key FOR EACH ROW
  WHEN (OLD.revoked_at IS DISTINCT FROM NEW.revoked_at) EXECUTE FUNCTION tell_sign_in();
