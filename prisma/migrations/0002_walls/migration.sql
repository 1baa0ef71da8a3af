-- What must always hold, whatever the application does: who may see a row, what may never change, what is counted.
-- The roles roofbook_app (the application's login: not owner, not superuser, no BYPASSRLS) and the owner exist already.

-- ---- who asks: set for one transaction by the store ----
CREATE FUNCTION app_org() RETURNS uuid LANGUAGE sql STABLE AS $$ SELECT nullif(current_setting('app.org', true), '')::uuid $$;
CREATE FUNCTION app_person() RETURNS uuid LANGUAGE sql STABLE AS $$ SELECT nullif(current_setting('app.person', true), '')::uuid $$;
-- hash of a presented invitation or API key: whoever holds the secret may find its row
CREATE FUNCTION app_secret() RETURNS text LANGUAGE sql STABLE AS $$ SELECT nullif(current_setting('app.secret', true), '') $$;
CREATE FUNCTION app_now() RETURNS timestamptz LANGUAGE sql STABLE AS
  $$ SELECT coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now()) $$;

GRANT USAGE ON SCHEMA public TO roofbook_app;
GRANT SELECT, INSERT, UPDATE ON person, session, refresh_token, password_reset, signing_key TO roofbook_app;
GRANT DELETE ON signing_key TO roofbook_app;

-- ---- plain laws ----
ALTER TABLE organisation ADD CHECK (kind IN ('venueOperator', 'production', 'supplier'));
ALTER TABLE membership ADD CHECK (roles <@ ARRAY['administrator', 'technicalManager', 'decider', 'engineer', 'houseRigger', 'crew',
  'headRigger', 'systemDesigner', 'productionOffice']);
ALTER TABLE space ADD CHECK (exposure IN ('indoor', 'covered', 'open'));
ALTER TABLE structure_item ADD CHECK (kind IN ('node', 'member', 'point', 'limit', 'keepOut', 'standingLoad'));
ALTER TABLE import_file ADD CHECK (kind IN ('point', 'member'));
ALTER TABLE space_access ADD CHECK (state IN ('requested', 'granted', 'refused', 'ended'));
ALTER TABLE space_access ADD CHECK ((state = 'granted') <= (ends_at IS NOT NULL));
ALTER TABLE show ADD CHECK (starts_at < ends_at);
ALTER TABLE proposal ADD CHECK (starts_at < ends_at);
ALTER TABLE proposal ADD CHECK (state IN ('drafting', 'submitted', 'questions', 'agreed', 'agreed_with_conditions', 'declined', 'withdrawn', 'struck'));
ALTER TABLE proposal ADD CHECK ((state IN ('agreed', 'agreed_with_conditions')) <= (standing_yes_id IS NOT NULL));
ALTER TABLE proposal ADD CHECK ((state IN ('withdrawn', 'struck')) <= (standing_yes_id IS NULL));
ALTER TABLE assessment ADD CHECK (verdict IN ('fits', 'close', 'over', 'unknown'));
ALTER TABLE assessment ADD CHECK (total_kg >= 0 AND total_kg < 'Infinity' AND (worst_utilisation IS NULL OR (worst_utilisation >= 0 AND worst_utilisation < 'Infinity')));
ALTER TABLE decision ADD CHECK (answer IN ('agree', 'agreeWithConditions', 'ask', 'decline') AND capacity IN ('decider', 'engineer'));
ALTER TABLE check_override ADD CHECK (subject IN ('check', 'answer') AND (confirmed_by IS NULL OR confirmed_by <> asked_by));
ALTER TABLE commitment ADD CHECK (status IN ('agreed', 'submitted') AND from_at < to_at);
ALTER TABLE commitment ADD CHECK (resting_kn >= 0 AND resting_kn < 'Infinity' AND moving_kn >= 0 AND moving_kn < 'Infinity');
ALTER TABLE commitment ADD CHECK (abs(resting_x_kn) < 'Infinity' AND abs(resting_y_kn) < 'Infinity' AND abs(moving_x_kn) < 'Infinity' AND abs(moving_y_kn) < 'Infinity');
ALTER TABLE revision ADD CHECK (sha256 = encode(sha256(convert_to(bytes, 'UTF8')), 'hex'));
ALTER TABLE plan_draft ADD CHECK (sha256 = encode(sha256(convert_to(bytes, 'UTF8')), 'hex'));
ALTER TABLE plan_submission ADD CHECK (plan_sha256 = encode(sha256(convert_to(plan_bytes, 'UTF8')), 'hex'));

-- ---- whose a row is: fixed at its birth, read from its parent, never changed ----
CREATE FUNCTION take_parent_orgs() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE parent record;
BEGIN
  CASE TG_TABLE_NAME
    WHEN 'space' THEN
      SELECT venue_org_id INTO STRICT parent FROM venue WHERE id = NEW.venue_id;
      NEW.venue_org_id := parent.venue_org_id;
    WHEN 'space_lock', 'structure', 'structure_item', 'revision', 'import_file', 'space_access', 'commitment' THEN
      SELECT venue_org_id INTO STRICT parent FROM space WHERE id = NEW.space_id;
      NEW.venue_org_id := parent.venue_org_id;
    WHEN 'show' THEN
      SELECT s.venue_org_id, p.tour_org_id INTO STRICT parent FROM space s, production p WHERE s.id = NEW.space_id AND p.id = NEW.production_id;
      NEW.venue_org_id := parent.venue_org_id;
      NEW.tour_org_id := parent.tour_org_id;
    WHEN 'proposal' THEN
      SELECT venue_org_id, tour_org_id, space_id, production_id INTO STRICT parent FROM show WHERE id = NEW.show_id;
      NEW.venue_org_id := parent.venue_org_id;
      NEW.tour_org_id := parent.tour_org_id;
      NEW.space_id := parent.space_id;
      NEW.production_id := parent.production_id;
    WHEN 'plan_draft' THEN
      SELECT tour_org_id INTO STRICT parent FROM proposal WHERE id = NEW.proposal_id;
      NEW.tour_org_id := parent.tour_org_id;
    ELSE
      SELECT venue_org_id, tour_org_id INTO STRICT parent FROM proposal WHERE id = NEW.proposal_id;
      NEW.venue_org_id := parent.venue_org_id;
      NEW.tour_org_id := parent.tour_org_id;
  END CASE;
  RETURN NEW;
END $$;

CREATE FUNCTION keep_orgs() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF (to_jsonb(NEW) -> 'venue_org_id') IS DISTINCT FROM (to_jsonb(OLD) -> 'venue_org_id')
    OR (to_jsonb(NEW) -> 'tour_org_id') IS DISTINCT FROM (to_jsonb(OLD) -> 'tour_org_id')
    OR (to_jsonb(NEW) -> 'org_id') IS DISTINCT FROM (to_jsonb(OLD) -> 'org_id') THEN
    RAISE EXCEPTION 'a row of % cannot change hands', TG_TABLE_NAME;
  END IF;
  RETURN NEW;
END $$;

DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['space', 'space_lock', 'structure', 'structure_item', 'revision', 'import_file', 'space_access', 'commitment',
    'show', 'proposal', 'plan_draft', 'plan_submission', 'assessment', 'decision', 'check_override', 'comment'] LOOP
    EXECUTE format('CREATE TRIGGER take_parent_orgs BEFORE INSERT ON %I FOR EACH ROW EXECUTE FUNCTION take_parent_orgs()', t);
  END LOOP;
  FOREACH t IN ARRAY ARRAY['venue', 'space', 'space_lock', 'structure', 'structure_item', 'import_file', 'space_access', 'commitment', 'production',
    'show', 'proposal', 'plan_draft', 'check_override', 'comment', 'membership', 'invitation', 'api_key'] LOOP
    EXECUTE format('CREATE TRIGGER keep_orgs BEFORE UPDATE ON %I FOR EACH ROW EXECUTE FUNCTION keep_orgs()', t);
  END LOOP;
END $$;

-- ---- what is written once ----
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is written once and never changed', TG_TABLE_NAME;
END $$;
DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['revision', 'plan_submission', 'assessment', 'decision', 'audit_entry', 'event'] LOOP
    EXECUTE format('CREATE TRIGGER written_once BEFORE UPDATE OR DELETE ON %I FOR EACH ROW EXECUTE FUNCTION refuse_change()', t);
    EXECUTE format('CREATE TRIGGER never_emptied BEFORE TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()', t);
  END LOOP;
END $$;

-- ---- who sees what ----
DO $$
DECLARE t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['organisation', 'membership', 'invitation', 'api_key', 'venue', 'space', 'space_lock', 'structure', 'structure_item',
    'revision', 'import_file', 'space_access', 'production', 'show', 'proposal', 'plan_draft', 'plan_submission', 'assessment', 'decision',
    'check_override', 'comment', 'commitment', 'audit_head', 'audit_entry', 'event', 'idempotency_key'] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
  END LOOP;
END $$;

GRANT SELECT, INSERT, UPDATE ON organisation, membership, invitation, api_key, venue, space, space_lock, structure, import_file, space_access,
  production, show, proposal, plan_draft, check_override, comment TO roofbook_app;
GRANT SELECT, INSERT, UPDATE, DELETE ON structure_item TO roofbook_app;
GRANT SELECT, INSERT, DELETE ON commitment TO roofbook_app;
GRANT SELECT, INSERT ON revision, plan_submission, assessment, decision, idempotency_key TO roofbook_app;
GRANT SELECT ON audit_head, audit_entry, event TO roofbook_app;

-- names of organisations, venues and spaces are for everyone who is signed in
CREATE POLICY seen ON organisation FOR SELECT USING ((SELECT app_person()) IS NOT NULL);
CREATE POLICY made ON organisation FOR INSERT WITH CHECK (id = (SELECT app_org()) AND (SELECT app_person()) IS NOT NULL);
CREATE POLICY changed ON organisation FOR UPDATE USING (id = (SELECT app_org())) WITH CHECK (id = (SELECT app_org()));
CREATE POLICY seen ON venue FOR SELECT USING ((SELECT app_person()) IS NOT NULL);
CREATE POLICY made ON venue FOR INSERT WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY changed ON venue FOR UPDATE USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY seen ON space FOR SELECT USING ((SELECT app_person()) IS NOT NULL);
CREATE POLICY made ON space FOR INSERT WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY changed ON space FOR UPDATE USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));

CREATE POLICY own ON membership USING (org_id = (SELECT app_org()) OR person_id = (SELECT app_person())) WITH CHECK (org_id = (SELECT app_org()));
CREATE POLICY own ON invitation USING (org_id = (SELECT app_org()) OR token_hash = (SELECT app_secret())) WITH CHECK (org_id = (SELECT app_org()));
CREATE POLICY own ON api_key USING (org_id = (SELECT app_org()) OR key_hash = (SELECT app_secret())) WITH CHECK (org_id = (SELECT app_org()) OR key_hash = (SELECT app_secret()));
CREATE POLICY own ON idempotency_key USING (person_id = (SELECT app_person())) WITH CHECK (person_id = (SELECT app_person()));

CREATE POLICY venue_only ON structure USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY venue_only ON structure_item USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY venue_only ON import_file USING (venue_org_id = (SELECT app_org())) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY both_sides ON space_access USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK ((SELECT app_org()) IN (venue_org_id, tour_org_id));

CREATE POLICY tour_only ON plan_draft USING (tour_org_id = (SELECT app_org())) WITH CHECK (tour_org_id = (SELECT app_org()));
CREATE POLICY both_sides ON plan_submission USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK ((SELECT app_org()) IN (venue_org_id, tour_org_id));
CREATE POLICY both_sides ON assessment USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK ((SELECT app_org()) IN (venue_org_id, tour_org_id));
CREATE POLICY both_sides ON decision USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY both_sides ON check_override USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK (venue_org_id = (SELECT app_org()));
CREATE POLICY both_sides ON comment USING ((SELECT app_org()) IN (venue_org_id, tour_org_id)) WITH CHECK ((SELECT app_org()) IN (venue_org_id, tour_org_id));
-- the venue sees a show and its proposals from the first submission on
CREATE POLICY sides ON show USING (tour_org_id = (SELECT app_org()) OR (venue_org_id = (SELECT app_org()) AND shared_at IS NOT NULL))
  WITH CHECK (tour_org_id = (SELECT app_org()) OR venue_org_id = (SELECT app_org()));
CREATE POLICY sides ON proposal USING (tour_org_id = (SELECT app_org()) OR (venue_org_id = (SELECT app_org()) AND submission_count > 0))
  WITH CHECK (tour_org_id = (SELECT app_org()) OR venue_org_id = (SELECT app_org()));
CREATE POLICY sides ON production FOR SELECT USING (tour_org_id = (SELECT app_org())
  OR EXISTS (SELECT 1 FROM show s WHERE s.production_id = production.id AND s.venue_org_id = (SELECT app_org()) AND s.shared_at IS NOT NULL));
CREATE POLICY made ON production FOR INSERT WITH CHECK (tour_org_id = (SELECT app_org()));
CREATE POLICY changed ON production FOR UPDATE USING (tour_org_id = (SELECT app_org())) WITH CHECK (tour_org_id = (SELECT app_org()));

-- structure: with a grant that has not ended, where the venue opened the space, or where an own submission was assessed on it
CREATE POLICY readers ON revision FOR SELECT USING (
  venue_org_id = (SELECT app_org())
  OR ((SELECT app_person()) IS NOT NULL AND EXISTS (SELECT 1 FROM space s WHERE s.id = revision.space_id AND s.opened))
  OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = revision.space_id AND a.tour_org_id = (SELECT app_org()) AND a.state = 'granted' AND a.ends_at > (SELECT app_now()))
  OR EXISTS (SELECT 1 FROM plan_submission p WHERE p.space_id = revision.space_id AND p.revision_number = revision.number AND p.tour_org_id = (SELECT app_org())));
CREATE POLICY made ON revision FOR INSERT WITH CHECK (venue_org_id = (SELECT app_org()));

-- the lock and what hangs: the venue, whoever was let in, and whoever has a proposal there: after a grant has ended it can still be withdrawn
CREATE POLICY insiders ON space_lock USING (venue_org_id = (SELECT app_org())
  OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = space_lock.space_id AND a.tour_org_id = (SELECT app_org()) AND a.state IN ('granted', 'ended'))
  OR EXISTS (SELECT 1 FROM proposal p WHERE p.space_id = space_lock.space_id AND p.tour_org_id = (SELECT app_org())));
CREATE POLICY insiders ON commitment USING (venue_org_id = (SELECT app_org())
  OR EXISTS (SELECT 1 FROM space_access a WHERE a.space_id = commitment.space_id AND a.tour_org_id = (SELECT app_org()) AND a.state IN ('granted', 'ended'))
  OR EXISTS (SELECT 1 FROM proposal p WHERE p.space_id = commitment.space_id AND p.tour_org_id = (SELECT app_org())));

-- ---- what hangs is counted, and only the holder of the space's lock may change it ----
CREATE FUNCTION count_commitments() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE changed record; sign int; found_rows int;
BEGIN
  sign := CASE TG_OP WHEN 'INSERT' THEN 1 ELSE -1 END;
  FOR changed IN SELECT space_id, count(*)::int AS n FROM changed_rows GROUP BY space_id LOOP
    UPDATE space_lock SET commitment_count = commitment_count + sign * changed.n
      WHERE space_id = changed.space_id AND holder_xid = pg_current_xact_id()::text::bigint;
    GET DIAGNOSTICS found_rows = ROW_COUNT;
    IF found_rows <> 1 THEN
      RAISE EXCEPTION 'what hangs in a space changes only under that space''s lock';
    END IF;
  END LOOP;
  RETURN NULL;
END $$;
CREATE TRIGGER counted_in AFTER INSERT ON commitment REFERENCING NEW TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION count_commitments();
CREATE TRIGGER counted_out AFTER DELETE ON commitment REFERENCING OLD TABLE AS changed_rows FOR EACH STATEMENT EXECUTE FUNCTION count_commitments();

-- ---- history: appended by this function alone, in each organisation's own chain ----
CREATE POLICY own ON audit_head FOR SELECT USING (org_id = (SELECT app_org()));
CREATE POLICY own ON audit_entry FOR SELECT USING (org_id = (SELECT app_org()));
CREATE POLICY own ON event FOR SELECT USING (org_id = (SELECT app_org()));
CREATE POLICY owner_appends ON audit_head TO CURRENT_USER USING (true) WITH CHECK (true);
CREATE POLICY owner_appends ON audit_entry TO CURRENT_USER USING (true) WITH CHECK (true);
CREATE POLICY owner_appends ON event TO CURRENT_USER USING (true) WITH CHECK (true);

-- entries: [{ orgs: [uuid], at, body: text, type: text, subject: uuid, event: text }]
-- hash = SHA-256 of previous hash, line feed, number, line feed, body. Heads are locked in ascending order of organisation,
-- so that two transactions never wait for each other; call it once, as the last statement of a transaction.
CREATE FUNCTION append_history(entries jsonb) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp AS $$
DECLARE org uuid; entry jsonb; head record; next_hash text;
BEGIN
  FOR org IN SELECT DISTINCT o::uuid AS one FROM jsonb_array_elements(entries) e, jsonb_array_elements_text(e -> 'orgs') o ORDER BY one LOOP
    INSERT INTO audit_head (org_id, seq, hash) VALUES (org, 0, '') ON CONFLICT DO NOTHING;
    PERFORM 1 FROM audit_head WHERE org_id = org FOR UPDATE;
  END LOOP;
  FOR entry IN SELECT value FROM jsonb_array_elements(entries) WITH ORDINALITY AS e(value, n) ORDER BY n LOOP
    IF NOT (entry -> 'orgs') ? (SELECT app_org())::text THEN
      RAISE EXCEPTION 'an act is written by an organisation that takes part in it';
    END IF;
    FOR org IN SELECT DISTINCT o::uuid AS one FROM jsonb_array_elements_text(entry -> 'orgs') o ORDER BY one LOOP
      SELECT seq, hash INTO head FROM audit_head WHERE org_id = org;
      next_hash := encode(sha256(convert_to(head.hash || E'\n' || (head.seq + 1) || E'\n' || (entry ->> 'body'), 'UTF8')), 'hex');
      INSERT INTO audit_entry (org_id, seq, at, body, prev_hash, hash)
        VALUES (org, head.seq + 1, (entry ->> 'at')::timestamptz, entry ->> 'body', head.hash, next_hash);
      INSERT INTO event (org_id, seq, at, type, subject_id, body)
        VALUES (org, head.seq + 1, (entry ->> 'at')::timestamptz, entry ->> 'type', (entry ->> 'subject')::uuid, entry ->> 'event');
      UPDATE audit_head SET seq = head.seq + 1, hash = next_hash WHERE org_id = org;
      PERFORM pg_notify('roofbook_event', org || ':' || (head.seq + 1));
    END LOOP;
  END LOOP;
END $$;
REVOKE ALL ON FUNCTION append_history(jsonb) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION append_history(jsonb) TO roofbook_app;

-- ---- idempotency keys are kept two days ----
CREATE POLICY owner_forgets ON idempotency_key FOR DELETE TO CURRENT_USER USING (true);
CREATE POLICY owner_looks ON idempotency_key FOR SELECT TO CURRENT_USER USING (true);
CREATE FUNCTION forget_old_idempotency_keys(before timestamptz) RETURNS int LANGUAGE sql SECURITY DEFINER SET search_path = public, pg_temp AS $$
  WITH gone AS (DELETE FROM idempotency_key WHERE created_at < before RETURNING 1) SELECT count(*)::int FROM gone
$$;
REVOKE ALL ON FUNCTION forget_old_idempotency_keys(timestamptz) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION forget_old_idempotency_keys(timestamptz) TO roofbook_app;

-- ---- only the venue lets somebody in, except where it opened the space to all ----
CREATE FUNCTION venue_lets_in() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.state = 'granted' AND NEW.venue_org_id IS DISTINCT FROM app_org()
    AND (TG_OP = 'INSERT' OR OLD.state <> 'granted' OR OLD.ends_at IS DISTINCT FROM NEW.ends_at)
    AND NOT EXISTS (SELECT 1 FROM space s WHERE s.id = NEW.space_id AND s.opened) THEN
    RAISE EXCEPTION 'only the venue grants access to a space';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER venue_lets_in BEFORE INSERT OR UPDATE ON space_access FOR EACH ROW EXECUTE FUNCTION venue_lets_in();

-- ---- labels may change places within one transaction ----
DROP INDEX structure_item_space_id_kind_label_key_key;
ALTER TABLE structure_item ADD CONSTRAINT structure_item_label UNIQUE (space_id, kind, label_key) DEFERRABLE INITIALLY DEFERRED;

-- ---- a link to set a new password: the organisation that made it, the person it is for, and whoever holds it ----
ALTER TABLE password_reset ENABLE ROW LEVEL SECURITY;
ALTER TABLE password_reset FORCE ROW LEVEL SECURITY;
CREATE POLICY own ON password_reset
  USING (org_id = (SELECT app_org()) OR person_id = (SELECT app_person()) OR token_hash = (SELECT app_secret()))
  WITH CHECK (org_id = (SELECT app_org()) OR person_id = (SELECT app_person()));
