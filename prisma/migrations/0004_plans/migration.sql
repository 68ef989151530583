-- A practice's own shoes, fills and fixings; follow-up tasks of plans and procedures; what a procedure
-- leaves behind: photos, and the days on which its aftercare is due.

CREATE TABLE own_devices (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  part text NOT NULL CHECK (part IN ('shoe', 'fill', 'fixing')),
  name text NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  entry jsonb NOT NULL,
  source text NOT NULL,
  added_by uuid NOT NULL,
  added_at timestamptz(3) NOT NULL,
  retired_by uuid,
  retired_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, added_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, retired_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX own_devices_name ON own_devices (practice_id, part, lower(name)) WHERE retired_at IS NULL;
ALTER TABLE own_devices ENABLE ROW LEVEL SECURITY;
ALTER TABLE own_devices FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON own_devices
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON own_devices TO heelward_app;

-- Signed plans name an entry by its id: what it says must stay what it said.
CREATE FUNCTION refuse_change_of_device() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.part IS DISTINCT FROM OLD.part OR NEW.name IS DISTINCT FROM OLD.name
    OR NEW.entry IS DISTINCT FROM OLD.entry OR NEW.source IS DISTINCT FROM OLD.source
    OR OLD.retired_at IS NOT NULL THEN
    RAISE EXCEPTION 'an entry of the catalogue never changes; retire it and add another' USING ERRCODE = 'HW001';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER sealed BEFORE UPDATE ON own_devices FOR EACH ROW EXECUTE FUNCTION refuse_change_of_device();

CREATE TABLE case_tasks (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('film', 'aftercare', 'heel raise out')),
  for_role text NOT NULL CHECK (for_role IN ('vet', 'farrier', 'manager', 'carer')),
  foot text CHECK (foot IN ('LF', 'RF', 'LH', 'RH')),
  title text NOT NULL,
  detail text,
  opens_on date NOT NULL,
  due_on date NOT NULL,
  ref_type text NOT NULL,
  ref_id uuid NOT NULL,
  done_by uuid,
  done_at timestamptz(3),
  set_aside boolean NOT NULL DEFAULT false,
  outcome text,
  photo_ids uuid[] NOT NULL DEFAULT '{}',
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  CHECK (due_on >= opens_on),
  CHECK ((done_by IS NULL) = (done_at IS NULL)),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, done_by) REFERENCES people (practice_id, id)
);
CREATE INDEX case_tasks_case ON case_tasks (practice_id, case_id, due_on);
CREATE INDEX case_tasks_open ON case_tasks (practice_id, due_on) WHERE done_at IS NULL;
ALTER TABLE case_tasks ENABLE ROW LEVEL SECURITY;
ALTER TABLE case_tasks FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON case_tasks
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = case_tasks.practice_id AND h.id = case_tasks.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = case_tasks.practice_id AND h.id = case_tasks.horse_id)));
GRANT SELECT, INSERT, UPDATE ON case_tasks TO heelward_app;

CREATE FUNCTION refuse_change_of_done_task() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.done_at IS NOT NULL THEN
    RAISE EXCEPTION 'a task that is done stays as it was done' USING ERRCODE = 'HW001';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER sealed BEFORE UPDATE ON case_tasks FOR EACH ROW EXECUTE FUNCTION refuse_change_of_done_task();

ALTER TABLE procedures ADD COLUMN aftercare_days integer[] NOT NULL DEFAULT '{}';
ALTER TABLE procedures ADD COLUMN photo_ids uuid[] NOT NULL DEFAULT '{}';
