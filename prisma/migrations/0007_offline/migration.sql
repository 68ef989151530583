-- What reaches the practice from a phone that had no signal: when it happened, when it arrived, how far
-- the phone's clock was out, and what a person put aside after a conflict. Nothing is ever deleted.

CREATE TABLE arrivals (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  device_id uuid NOT NULL,
  device_order integer NOT NULL CHECK (device_order > 0),
  idempotency_key text NOT NULL,
  operation text NOT NULL,
  horse_id uuid,
  record_id uuid,
  happened_at timestamptz(3) NOT NULL,
  device_at timestamptz(3) NOT NULL,
  clock_offset_ms integer NOT NULL,
  received_at timestamptz(3) NOT NULL,
  outcome text NOT NULL CHECK (outcome IN ('stored', 'put aside')),
  payload jsonb,
  reason text,
  PRIMARY KEY (practice_id, id),
  CHECK ((outcome = 'put aside') = (payload IS NOT NULL AND reason IS NOT NULL)),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id)
);
-- A device numbers what it keeps; a number arrives once, even when the stored answer of its key is gone.
CREATE UNIQUE INDEX arrivals_order ON arrivals (practice_id, person_id, device_id, device_order);
CREATE UNIQUE INDEX arrivals_key ON arrivals (practice_id, person_id, idempotency_key);
CREATE INDEX arrivals_record ON arrivals (practice_id, record_id);
CREATE INDEX arrivals_horse ON arrivals (practice_id, horse_id, received_at DESC);

ALTER TABLE arrivals ENABLE ROW LEVEL SECURITY;
ALTER TABLE arrivals FORCE ROW LEVEL SECURITY;
-- One's own, and for the office all; a horse's only to those who see the horse.
CREATE POLICY of_practice ON arrivals
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR person_id = app_person()
    OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = arrivals.practice_id AND h.id = arrivals.horse_id)))
  WITH CHECK (practice_id = app_practice() AND person_id = app_person());
GRANT SELECT, INSERT ON arrivals TO heelward_app;

-- The red-flag button: one press dials, and this is kept even when it was pressed without signal.
CREATE TABLE red_flag_calls (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  horse_id uuid,
  number_dialled text NOT NULL,
  pressed_at timestamptz(3) NOT NULL,
  received_at timestamptz(3) NOT NULL,
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id)
);
CREATE INDEX red_flag_calls_pressed ON red_flag_calls (practice_id, pressed_at DESC);

ALTER TABLE red_flag_calls ENABLE ROW LEVEL SECURITY;
ALTER TABLE red_flag_calls FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON red_flag_calls
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR person_id = app_person()
    OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = red_flag_calls.practice_id AND h.id = red_flag_calls.horse_id)))
  WITH CHECK (practice_id = app_practice() AND person_id = app_person()
    AND (horse_id IS NULL OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = red_flag_calls.practice_id AND h.id = red_flag_calls.horse_id)));
GRANT SELECT, INSERT ON red_flag_calls TO heelward_app;

-- When it was said, where that is not when it arrived.
ALTER TABLE handoff_notes ADD COLUMN happened_at timestamptz(3);
ALTER TABLE prescription_messages ADD COLUMN happened_at timestamptz(3);

-- Which picture of the standard set a photo is, so that the next one can be taken from the same place.
ALTER TABLE documents ADD COLUMN photo_view text;
ALTER TABLE documents DROP CONSTRAINT documents_kind_check;
ALTER TABLE documents ADD CONSTRAINT documents_kind_check CHECK (kind IN ('photo', 'document', 'film picture', 'voice note'));

-- The farrier worked by a plan that had been replaced while there was no signal.
ALTER TABLE shoeing_records ADD COLUMN by_replaced_plan boolean NOT NULL DEFAULT false;
