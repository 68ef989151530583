-- People at work: shared devices of a yard and the PINs used on them, what a plan costs and whether the
-- owner agreed, watches on the limb that carries the load, learning notes, and owners' wishes about their data.

CREATE TABLE yard_devices (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  yard_id uuid NOT NULL,
  name text NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
  token_hash text NOT NULL,
  trusted_by uuid NOT NULL,
  trusted_at timestamptz(3) NOT NULL,
  last_used_at timestamptz(3) NOT NULL,
  revoked_by uuid,
  revoked_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, yard_id) REFERENCES yards (practice_id, id),
  FOREIGN KEY (practice_id, trusted_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, revoked_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX yard_devices_token ON yard_devices (token_hash);
CREATE INDEX yard_devices_yard ON yard_devices (practice_id, yard_id) WHERE revoked_at IS NULL;
ALTER TABLE yard_devices ENABLE ROW LEVEL SECURITY;
ALTER TABLE yard_devices FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON yard_devices
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON yard_devices TO heelward_app;

-- A session opened by PIN belongs to the device it was opened on, and ends with its trust.
ALTER TABLE sessions ADD COLUMN device_id uuid;
ALTER TABLE sessions ADD FOREIGN KEY (practice_id, device_id) REFERENCES yard_devices (practice_id, id);
CREATE INDEX sessions_device ON sessions (practice_id, device_id, person_id) WHERE device_id IS NOT NULL;

-- A person's own PIN; the service itself reads it while somebody switches.
CREATE TABLE yard_pins (
  practice_id uuid NOT NULL,
  person_id uuid NOT NULL,
  pin_hash text NOT NULL,
  failed_attempts integer NOT NULL DEFAULT 0,
  locked_until timestamptz(3),
  set_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, person_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
ALTER TABLE yard_pins ENABLE ROW LEVEL SECURITY;
ALTER TABLE yard_pins FORCE ROW LEVEL SECURITY;
CREATE POLICY of_person ON yard_pins
  USING (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('system')))
  WITH CHECK (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('system')));
GRANT SELECT, INSERT, UPDATE, DELETE ON yard_pins TO heelward_app;

-- What a plan is likely to cost, from and to; whole units of the currency.
CREATE TABLE plan_costs (
  practice_id uuid NOT NULL,
  prescription_id uuid NOT NULL,
  horse_id uuid NOT NULL,
  from_amount integer NOT NULL CHECK (from_amount >= 0),
  to_amount integer NOT NULL CHECK (to_amount >= from_amount),
  currency text NOT NULL CHECK (currency IN ('EUR', 'GBP', 'USD')),
  covers text NOT NULL CHECK (length(covers) BETWEEN 1 AND 300),
  set_by uuid NOT NULL,
  set_at timestamptz(3) NOT NULL,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, prescription_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, prescription_id) REFERENCES prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, set_by) REFERENCES people (practice_id, id)
);
ALTER TABLE plan_costs ENABLE ROW LEVEL SECURITY;
ALTER TABLE plan_costs FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON plan_costs
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = plan_costs.practice_id AND h.id = plan_costs.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = plan_costs.practice_id AND h.id = plan_costs.horse_id)));
GRANT SELECT, INSERT, UPDATE ON plan_costs TO heelward_app;

-- The owner's yes, as given on the own page or as told to the practice, or why it was not waited for. Kept as written.
CREATE TABLE plan_consents (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  prescription_id uuid NOT NULL,
  horse_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('owner', 'told us', 'waived')),
  given_by text,
  words text,
  reason text,
  cost jsonb,
  recorded_by uuid NOT NULL,
  recorded_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  CHECK ((kind = 'waived') = (reason IS NOT NULL)),
  CHECK (kind = 'waived' OR given_by IS NOT NULL),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, prescription_id) REFERENCES prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, recorded_by) REFERENCES people (practice_id, id)
);
CREATE INDEX plan_consents_plan ON plan_consents (practice_id, prescription_id, recorded_at);
ALTER TABLE plan_consents ENABLE ROW LEVEL SECURITY;
ALTER TABLE plan_consents FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON plan_consents
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = plan_consents.practice_id AND h.id = plan_consents.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = plan_consents.practice_id AND h.id = plan_consents.horse_id)));
GRANT SELECT, INSERT ON plan_consents TO heelward_app;

-- The feet that carry more because another leg is in a cast or too lame to carry its share.
CREATE TABLE limb_watches (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  hurt_limb text NOT NULL CHECK (hurt_limb IN ('LF', 'RF', 'LH', 'RH')),
  watched_foot text NOT NULL CHECK (watched_foot IN ('LF', 'RF', 'LH', 'RH') AND watched_foot <> hurt_limb),
  cause text NOT NULL CHECK (cause IN ('cast', 'lameness')),
  because text NOT NULL,
  started_by uuid NOT NULL,
  started_at timestamptz(3) NOT NULL,
  ended_by uuid,
  ended_at timestamptz(3),
  end_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  CHECK ((ended_at IS NULL) = (ended_by IS NULL) AND (ended_at IS NULL) = (end_reason IS NULL)),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, started_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, ended_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX limb_watches_one_running ON limb_watches (practice_id, horse_id, watched_foot) WHERE ended_at IS NULL;
ALTER TABLE limb_watches ENABLE ROW LEVEL SECURITY;
ALTER TABLE limb_watches FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON limb_watches
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = limb_watches.practice_id AND h.id = limb_watches.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = limb_watches.practice_id AND h.id = limb_watches.horse_id)));
GRANT SELECT, INSERT, UPDATE ON limb_watches TO heelward_app;

-- One page at the close of a case: what we expected, what happened. Kept as written.
CREATE TABLE learning_notes (
  practice_id uuid NOT NULL,
  case_id uuid NOT NULL,
  horse_id uuid NOT NULL,
  expected text NOT NULL,
  happened text NOT NULL,
  wedge text NOT NULL CHECK (wedge IN ('helped', 'did not help', 'not used', 'cannot tell')),
  wedge_words text,
  lesson text NOT NULL,
  written_by uuid NOT NULL,
  written_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, case_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, written_by) REFERENCES people (practice_id, id)
);
ALTER TABLE learning_notes ENABLE ROW LEVEL SECURITY;
ALTER TABLE learning_notes FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON learning_notes
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = learning_notes.practice_id AND h.id = learning_notes.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = learning_notes.practice_id AND h.id = learning_notes.horse_id)));
GRANT SELECT, INSERT ON learning_notes TO heelward_app;

-- What an owner asks about the own data, and what the practice answered.
CREATE TABLE data_requests (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('copy', 'erasure')),
  words text,
  asked_at timestamptz(3) NOT NULL,
  answered_by uuid,
  answered_at timestamptz(3),
  answer text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  CHECK ((answered_at IS NULL) = (answered_by IS NULL) AND (answered_at IS NULL) = (answer IS NULL)),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, answered_by) REFERENCES people (practice_id, id)
);
CREATE INDEX data_requests_open ON data_requests (practice_id, asked_at) WHERE answered_at IS NULL;
ALTER TABLE data_requests ENABLE ROW LEVEL SECURITY;
ALTER TABLE data_requests FORCE ROW LEVEL SECURITY;
CREATE POLICY of_person ON data_requests
  USING (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('manager') OR app_has_role('system')))
  WITH CHECK (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('manager') OR app_has_role('system')));
GRANT SELECT, INSERT, UPDATE ON data_requests TO heelward_app;
