-- One transaction, whole or not at all; old code keeps running on it, so add before you take away.

-- CreateTable
CREATE TABLE "re_assessment" (
    "space_id" UUID NOT NULL,
    "revision_number" INTEGER NOT NULL,
    "proposal_id" UUID NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "tour_org_id" UUID NOT NULL,
    "yes_id" UUID NOT NULL,
    "outcome" TEXT,
    "verdict" TEXT,
    "failing" TEXT NOT NULL DEFAULT '[]',
    "settled_at" TIMESTAMPTZ(3),

    CONSTRAINT "re_assessment_pkey" PRIMARY KEY ("space_id","revision_number","proposal_id")
);

-- ---- what a publication means for each agreement that stood: of the two sides ----
ALTER TABLE re_assessment ADD CHECK (outcome IN ('kept', 'stillFits', 'doesNot', 'ended'));
ALTER TABLE re_assessment ADD CHECK ((outcome IS NULL) = (settled_at IS NULL));
ALTER TABLE re_assessment ADD CHECK (verdict IN ('fits', 'close', 'over', 'unknown'));
CREATE INDEX re_assessment_waiting ON re_assessment (proposal_id) WHERE settled_at IS NULL;
CREATE TRIGGER take_parent_orgs BEFORE INSERT ON re_assessment FOR EACH ROW EXECUTE FUNCTION take_parent_orgs();
CREATE TRIGGER keep_orgs BEFORE UPDATE ON re_assessment FOR EACH ROW EXECUTE FUNCTION keep_orgs();
ALTER TABLE re_assessment ENABLE ROW LEVEL SECURITY;
ALTER TABLE re_assessment FORCE ROW LEVEL SECURITY;
CREATE POLICY both_sides ON re_assessment FOR SELECT USING ((SELECT app_org()) IN (venue_org_id, tour_org_id));
CREATE POLICY made ON re_assessment FOR INSERT WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY settled ON re_assessment FOR UPDATE USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));
GRANT SELECT, INSERT, UPDATE ON re_assessment TO roofbook_app;

-- ---- settled once ----
CREATE FUNCTION settle_once() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.settled_at IS NOT NULL OR NEW.yes_id <> OLD.yes_id THEN
    RAISE EXCEPTION 'a re-assessment is settled once';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER settle_once BEFORE UPDATE ON re_assessment FOR EACH ROW EXECUTE FUNCTION settle_once();

-- ---- no agreement looks as good as ever on a roof that it has not been checked against ----
ALTER TABLE proposal ADD CHECK (stale = (cardinality(stale_reasons) > 0));
CREATE FUNCTION stale_while_waiting() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF EXISTS (SELECT 1 FROM proposal p JOIN re_assessment r ON r.proposal_id = p.id AND r.yes_id = p.standing_yes_id
      WHERE p.id = NEW.id AND NOT p.stale AND r.settled_at IS NULL) THEN
    RAISE EXCEPTION 'an agreement that waits to be checked is stale';
  END IF;
  RETURN NULL;
END $$;
CREATE CONSTRAINT TRIGGER stale_while_waiting AFTER UPDATE OF stale ON proposal DEFERRABLE INITIALLY DEFERRED
  FOR EACH ROW WHEN (NOT NEW.stale AND NEW.standing_yes_id IS NOT NULL) EXECUTE FUNCTION stale_while_waiting();
CREATE FUNCTION stale_when_published() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF EXISTS (SELECT 1 FROM proposal p WHERE p.space_id = NEW.space_id AND p.standing_yes_id IS NOT NULL AND NOT p.stale) THEN
    RAISE EXCEPTION 'whatever stands on a roof is stale when another is published, until it has been checked';
  END IF;
  RETURN NULL;
END $$;
CREATE CONSTRAINT TRIGGER stale_when_published AFTER INSERT ON revision DEFERRABLE INITIALLY DEFERRED
  FOR EACH ROW EXECUTE FUNCTION stale_when_published();

-- ---- background work: the application puts jobs in, by this function alone; the worker's role takes them out ----
CREATE FUNCTION enqueue(job text, payload jsonb, job_key text) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = public, pg_temp AS $$
  SELECT graphile_worker.add_job(job, payload::json, job_key := job_key, max_attempts := 1000)
$$;
REVOKE ALL ON FUNCTION enqueue(text, jsonb, text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION enqueue(text, jsonb, text) TO roofbook_app;
GRANT USAGE ON SCHEMA graphile_worker TO roofbook_worker;
GRANT SELECT ON graphile_worker.migrations TO roofbook_worker;
GRANT SELECT, INSERT ON graphile_worker._private_tasks TO roofbook_worker;
GRANT SELECT, INSERT, UPDATE, DELETE ON graphile_worker._private_jobs, graphile_worker._private_job_queues TO roofbook_worker;
CREATE POLICY worker ON graphile_worker._private_tasks TO roofbook_worker USING (true) WITH CHECK (true);
CREATE POLICY worker ON graphile_worker._private_jobs TO roofbook_worker USING (true) WITH CHECK (true);
CREATE POLICY worker ON graphile_worker._private_job_queues TO roofbook_worker USING (true) WITH CHECK (true);
