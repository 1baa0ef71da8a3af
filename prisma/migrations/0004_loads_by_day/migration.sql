-- What hangs is found, and counted, by time: 10,000 other shows in a space cost nothing.

-- ---- by length, so that what overlaps a time is found by comparisons alone: those of ranges are not leakproof, and under row-level
-- security no index serves what is not. Class k holds lengths up to 4^k days. ----
ALTER TABLE commitment ADD COLUMN span_class INTEGER GENERATED ALWAYS AS
  (greatest(0, ceil(log(4.0, greatest(1.0, extract(epoch FROM (to_at - from_at)) / 86400.0))))::int) STORED;
ALTER TABLE commitment ADD CHECK (span_class <= 5); -- readers look no further
DROP INDEX commitment_space_id_from_at_to_at_idx;
CREATE INDEX commitment_space_id_span_class_from_at_idx ON commitment (space_id, span_class, from_at);
CREATE INDEX commitment_space_id_status_to_at_idx ON commitment (space_id, status, to_at);

-- ---- how many there are on each day (UTC), and how many agreed ones have that as their last ----
CREATE TABLE commitment_day (
    "space_id" UUID NOT NULL,
    "day" DATE NOT NULL,
    "venue_org_id" UUID NOT NULL,
    "there" INTEGER NOT NULL,
    "last_agreed" INTEGER NOT NULL,

    CONSTRAINT "commitment_day_pkey" PRIMARY KEY ("space_id", "day")
);
CREATE INDEX commitment_day_last ON commitment_day (space_id, day) WHERE last_agreed > 0;
ALTER TABLE commitment_day ADD CHECK (last_agreed BETWEEN 0 AND there);
ALTER TABLE commitment_day ENABLE ROW LEVEL SECURITY;
ALTER TABLE commitment_day FORCE ROW LEVEL SECURITY;
CREATE POLICY insiders ON commitment_day FOR SELECT USING (venue_org_id = (SELECT app_org())
  OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = commitment_day.space_id AND a.tour_org_id = (SELECT app_org()) AND a.state IN ('granted', 'ended'))
  OR EXISTS (SELECT 1 FROM proposal p WHERE p.space_id = commitment_day.space_id AND p.tour_org_id = (SELECT app_org())));
CREATE POLICY owner_counts ON commitment_day TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT ON commitment_day TO roofbook_app;

-- ---- only the holder of the space's lock changes what hangs ----
DROP TRIGGER counted_in ON commitment;
DROP TRIGGER counted_out ON commitment;
DROP FUNCTION count_commitments();
CREATE FUNCTION hold_lock() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF EXISTS (SELECT 1 FROM changed_rows c WHERE NOT EXISTS (
      SELECT 1 FROM space_lock l WHERE l.space_id = c.space_id AND l.holder_xid = pg_current_xact_id()::text::bigint)) THEN
    RAISE EXCEPTION 'what hangs in a space changes only under that space''s lock';
  END IF;
  RETURN NULL;
END $$;
CREATE TRIGGER locked_in AFTER INSERT ON commitment REFERENCING NEW TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION hold_lock();
CREATE TRIGGER locked_out AFTER DELETE ON commitment REFERENCING OLD TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION hold_lock();

-- ---- counted by the owner: the application cannot change a count, so it cannot hide a load from itself ----
CREATE FUNCTION count_commitments() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
DECLARE changed record;
BEGIN
  FOR changed IN
    SELECT c.space_id, c.venue_org_id, d.day::date AS day, count(*)::int AS there,
      (count(*) FILTER (WHERE c.status = 'agreed' AND d.day = c.last_day))::int AS last_agreed
    FROM (SELECT space_id, venue_org_id, status, (from_at AT TIME ZONE 'UTC')::date::timestamp AS first_day,
        ((to_at - interval '1 millisecond') AT TIME ZONE 'UTC')::date::timestamp AS last_day FROM changed_rows) c
      CROSS JOIN LATERAL generate_series(c.first_day, c.last_day, interval '1 day') AS d(day)
    GROUP BY c.space_id, c.venue_org_id, d.day ORDER BY c.space_id, d.day
  LOOP
    IF TG_OP = 'INSERT' THEN
      INSERT INTO commitment_day AS kept (space_id, day, venue_org_id, there, last_agreed)
      VALUES (changed.space_id, changed.day, changed.venue_org_id, changed.there, changed.last_agreed)
      ON CONFLICT (space_id, day) DO UPDATE SET there = kept.there + excluded.there, last_agreed = kept.last_agreed + excluded.last_agreed;
    ELSE
      UPDATE commitment_day SET there = there - changed.there, last_agreed = last_agreed - changed.last_agreed
        WHERE space_id = changed.space_id AND day = changed.day;
      DELETE FROM commitment_day WHERE space_id = changed.space_id AND day = changed.day AND there = 0;
    END IF;
  END LOOP;
  RETURN NULL;
END $$;
CREATE TRIGGER counted_in AFTER INSERT ON commitment REFERENCING NEW TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION count_commitments();
CREATE TRIGGER counted_out AFTER DELETE ON commitment REFERENCING OLD TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION count_commitments();
ALTER TABLE space_lock DROP COLUMN commitment_count;

-- ---- what stands in a space ----
CREATE INDEX proposal_standing ON proposal (space_id) WHERE standing_yes_id IS NOT NULL;
