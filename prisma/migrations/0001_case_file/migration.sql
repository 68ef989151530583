-- The case, from first phone call to next reset.
-- Every table leads its key with the practice. The application connects as heelward_app, which
-- owns nothing and cannot pass by row-level security; the practice, the person and the roles are
-- set for one transaction at a time (safe under transaction pooling).

CREATE FUNCTION app_practice() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT nullif(current_setting('app.practice', true), '')::uuid $$;
CREATE FUNCTION app_person() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT nullif(current_setting('app.person', true), '')::uuid $$;
CREATE FUNCTION app_has_role(role text) RETURNS boolean LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT role = ANY (string_to_array(coalesce(current_setting('app.roles', true), ''), ',')) $$;
-- The vet and the practice manager see every horse of their practice; `system` is the service itself.
CREATE FUNCTION app_sees_all_horses() RETURNS boolean LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT app_has_role('vet') OR app_has_role('manager') OR app_has_role('system') $$;
-- Looking an account up by its exact e-mail or token, before any practice is known.
CREATE FUNCTION app_is_signing_in() RETURNS boolean LANGUAGE sql STABLE PARALLEL SAFE
  AS $$ SELECT coalesce(current_setting('app.signing_in', true), '') = 'on' $$;

CREATE TABLE practices (
  id uuid NOT NULL,
  name text NOT NULL,
  town text,
  phone text,
  time_zone text NOT NULL,
  jurisdiction text NOT NULL DEFAULT 'UK' CHECK (jurisdiction IN ('UK', 'EU', 'US')),
  lat double precision,
  lon double precision,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (id)
);

CREATE TABLE people (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  name text NOT NULL,
  email text NOT NULL,
  phone text,
  roles text[] NOT NULL,
  registration_number text,
  clinical_lead boolean NOT NULL DEFAULT false,
  password_hash text,
  status text NOT NULL DEFAULT 'active' CHECK (status IN ('invited', 'active', 'removed')),
  failed_sign_ins integer NOT NULL DEFAULT 0,
  locked_until timestamptz(3),
  preferences jsonb NOT NULL DEFAULT '{}',
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);
CREATE UNIQUE INDEX people_email ON people (lower(email));

CREATE TABLE sessions (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  token_hash text NOT NULL,
  used_tokens text[] NOT NULL DEFAULT '{}',
  expires_at timestamptz(3) NOT NULL,
  authenticated_at timestamptz(3) NOT NULL,
  revoked_at timestamptz(3),
  user_agent text,
  last_used_at timestamptz(3) NOT NULL DEFAULT now(),
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX sessions_token_hash ON sessions (token_hash);
CREATE INDEX sessions_person ON sessions (practice_id, person_id);

CREATE TABLE invitations (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  email text NOT NULL,
  name text NOT NULL,
  roles text[] NOT NULL,
  registration_number text,
  yard_ids uuid[] NOT NULL DEFAULT '{}',
  horse_ids uuid[] NOT NULL DEFAULT '{}',
  token_hash text NOT NULL,
  expires_at timestamptz(3) NOT NULL,
  accepted_at timestamptz(3),
  withdrawn_at timestamptz(3),
  invited_by uuid NOT NULL,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, invited_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX invitations_token ON invitations (token_hash);

CREATE TABLE signing_keys (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  public_key text NOT NULL,
  algorithm text NOT NULL DEFAULT 'Ed25519',
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);

CREATE TABLE yards (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  name text NOT NULL,
  address text,
  lat double precision NOT NULL,
  lon double precision NOT NULL,
  time_zone text NOT NULL,
  phone text,
  access_notes text,
  surface text,
  signal text,
  weighing text,
  opening jsonb NOT NULL DEFAULT '[]',
  closed_on date[] NOT NULL DEFAULT '{}',
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  CHECK (lat BETWEEN -90 AND 90 AND lon BETWEEN -180 AND 180)
);
CREATE UNIQUE INDEX yards_name ON yards (practice_id, lower(name));

CREATE TABLE yard_people (
  practice_id uuid NOT NULL,
  yard_id uuid NOT NULL,
  person_id uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, yard_id, person_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, yard_id) REFERENCES yards (practice_id, id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX yard_people_person ON yard_people (practice_id, person_id);

CREATE TABLE horses (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  name text NOT NULL,
  type text NOT NULL CHECK (type IN ('horse', 'pony', 'donkey')),
  breed text,
  sex text NOT NULL CHECK (sex IN ('mare', 'gelding', 'stallion')),
  born_on date,
  height_cm double precision,
  yard_id uuid NOT NULL,
  farrier_id uuid,
  ueln text,
  microchip text,
  food_chain text NOT NULL DEFAULT 'passport not seen' CHECK (food_chain IN ('excluded', 'not excluded', 'passport not seen')),
  passport_seen_on date,
  passport_seen_by uuid,
  pregnant boolean NOT NULL DEFAULT false,
  lactating boolean NOT NULL DEFAULT false,
  conditions text[] NOT NULL DEFAULT '{}',
  feet text,
  reset_interval_days integer,
  breakover_limit_mm double precision,
  growth_mm_per_30d double precision,
  wear_fraction double precision,
  wall_angle_degrees double precision,
  photo_id uuid,
  status text NOT NULL DEFAULT 'active' CHECK (status IN ('active', 'away', 'sold', 'died')),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, yard_id) REFERENCES yards (practice_id, id),
  FOREIGN KEY (practice_id, farrier_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, passport_seen_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX horses_ueln ON horses (practice_id, ueln) WHERE ueln IS NOT NULL;
CREATE UNIQUE INDEX horses_microchip ON horses (practice_id, microchip) WHERE microchip IS NOT NULL;
CREATE INDEX horses_yard ON horses (practice_id, yard_id);
CREATE INDEX horses_farrier ON horses (practice_id, farrier_id);

CREATE TABLE horse_people (
  practice_id uuid NOT NULL,
  horse_id uuid NOT NULL,
  person_id uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, horse_id, person_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX horse_people_person ON horse_people (practice_id, person_id);

CREATE TABLE weighings (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  weighed_at timestamptz(3) NOT NULL,
  weight_kg double precision NOT NULL,
  low_kg double precision NOT NULL,
  high_kg double precision NOT NULL,
  method text NOT NULL CHECK (method IN ('scale', 'tape', 'formula', 'estimate')),
  girth_cm double precision,
  length_cm double precision,
  weighed_by uuid NOT NULL,
  note text,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, weighed_by) REFERENCES people (practice_id, id),
  CHECK (weight_kg > 0 AND low_kg <= weight_kg AND weight_kg <= high_kg)
);
CREATE INDEX weighings_latest ON weighings (practice_id, horse_id, weighed_at DESC);

CREATE TABLE cases (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  number integer NOT NULL,
  opened_at timestamptz(3) NOT NULL,
  phase text NOT NULL CHECK (phase IN ('acute', 'subacute', 'chronic active', 'maintenance', 'closed')),
  phase_since timestamptz(3) NOT NULL,
  cause text,
  cause_confidence text CHECK (cause_confidence IN ('suspected', 'likely', 'confirmed')),
  onset_at timestamptz(3),
  displaced_at timestamptz(3),
  sound_without_relief_since date,
  feet_affected text[] NOT NULL DEFAULT '{}',
  lead_vet_id uuid,
  summary text,
  closed_at timestamptz(3),
  close_reason text,
  close_note text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, lead_vet_id) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX cases_number ON cases (practice_id, number);
CREATE UNIQUE INDEX cases_open_horse ON cases (practice_id, horse_id) WHERE phase <> 'closed';
CREATE INDEX cases_open ON cases (practice_id, phase) WHERE phase <> 'closed';

CREATE TABLE case_events (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  at timestamptz(3) NOT NULL,
  kind text NOT NULL,
  title text NOT NULL,
  detail text,
  data jsonb NOT NULL DEFAULT '{}',
  person_id uuid,
  ref_type text,
  ref_id uuid,
  for_owner text,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX case_events_timeline ON case_events (practice_id, case_id, at DESC, id DESC);
CREATE INDEX case_events_horse ON case_events (practice_id, horse_id, at DESC);

CREATE TABLE phone_calls (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  called_at timestamptz(3) NOT NULL,
  caller text NOT NULL,
  caller_phone text,
  taken_by uuid NOT NULL,
  answers jsonb NOT NULL,
  triage jsonb NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, taken_by) REFERENCES people (practice_id, id)
);

CREATE TABLE first_aid_sheets (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  facts jsonb NOT NULL,
  sheet jsonb NOT NULL,
  written_at timestamptz(3) NOT NULL,
  written_by uuid NOT NULL,
  link_token_hash text,
  link_expires_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, written_by) REFERENCES people (practice_id, id)
);
CREATE INDEX first_aid_sheets_case ON first_aid_sheets (practice_id, case_id);
CREATE UNIQUE INDEX first_aid_sheets_link ON first_aid_sheets (link_token_hash) WHERE link_token_hash IS NOT NULL;

CREATE TABLE first_aid_ticks (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  sheet_id uuid NOT NULL,
  step_id text NOT NULL,
  done_at timestamptz(3) NOT NULL,
  done_by uuid NOT NULL,
  photo_id uuid,
  note text,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, sheet_id) REFERENCES first_aid_sheets (practice_id, id),
  FOREIGN KEY (practice_id, done_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX first_aid_ticks_once ON first_aid_ticks (practice_id, sheet_id, step_id);

CREATE TABLE examinations (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  kind text NOT NULL CHECK (kind IN ('examination', 'care check')),
  examined_at timestamptz(3) NOT NULL,
  examined_by uuid NOT NULL,
  obel_grade integer,
  five_sign_score integer,
  lameness_grade integer,
  digital_pulses jsonb NOT NULL DEFAULT '{}',
  hoof_heat jsonb NOT NULL DEFAULT '{}',
  heart_rate_per_minute double precision,
  respiration_per_minute double precision,
  temperature_c double precision,
  body_condition double precision,
  cresty_neck double precision,
  signs text[] NOT NULL DEFAULT '{}',
  notes text,
  findings jsonb NOT NULL DEFAULT '[]',
  is_red_flag boolean NOT NULL DEFAULT false,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, examined_by) REFERENCES people (practice_id, id)
);
CREATE INDEX examinations_latest ON examinations (practice_id, horse_id, examined_at DESC);

CREATE TABLE documents (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  kind text NOT NULL CHECK (kind IN ('photo', 'document', 'film picture')),
  file_name text NOT NULL,
  media_type text NOT NULL,
  sha256 text NOT NULL,
  size_bytes integer NOT NULL,
  blob_key text NOT NULL,
  taken_at timestamptz(3) NOT NULL,
  added_by uuid NOT NULL,
  caption text,
  for_owner boolean NOT NULL DEFAULT false,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, added_by) REFERENCES people (practice_id, id)
);
CREATE INDEX documents_horse ON documents (practice_id, horse_id, taken_at DESC);

CREATE TABLE radiographs (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  foot text NOT NULL CHECK (foot IN ('LF', 'RF', 'LH', 'RH')),
  view text NOT NULL CHECK (view IN ('lateromedial', 'dorsopalmar')),
  taken_at timestamptz(3) NOT NULL,
  file_name text NOT NULL,
  media_type text NOT NULL,
  sha256 text NOT NULL,
  size_bytes integer NOT NULL,
  blob_key text NOT NULL,
  preview_key text NOT NULL,
  pixels_key text NOT NULL,
  width_px integer NOT NULL,
  height_px integer NOT NULL,
  bits_stored integer NOT NULL,
  film jsonb NOT NULL,
  scale jsonb NOT NULL,
  wedge_degrees double precision NOT NULL DEFAULT 0,
  beam_centring text NOT NULL DEFAULT 'not recorded' CHECK (beam_centring IN ('hoof-ground interface', 'coronary band', 'coffin joint', 'not recorded')),
  shod boolean NOT NULL DEFAULT false,
  ground_line_on text NOT NULL DEFAULT 'ground' CHECK (ground_line_on IN ('ground', 'foot surface')),
  position_card text[] NOT NULL DEFAULT '{}',
  added_by uuid NOT NULL,
  side_confirmed_by uuid,
  side_confirmed_at timestamptz(3),
  released_by uuid,
  released_at timestamptz(3),
  released_document_id uuid,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, added_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, side_confirmed_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, released_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, released_document_id) REFERENCES documents (practice_id, id),
  CHECK (released_at IS NULL OR side_confirmed_at IS NOT NULL)
);
CREATE INDEX radiographs_case ON radiographs (practice_id, case_id, taken_at DESC);
CREATE UNIQUE INDEX radiographs_original ON radiographs (practice_id, horse_id, sha256);

CREATE TABLE landmark_sets (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  radiograph_id uuid NOT NULL,
  number integer NOT NULL,
  points jsonb NOT NULL,
  placed_by uuid NOT NULL,
  placed_at timestamptz(3) NOT NULL,
  note text,
  measurements jsonb NOT NULL,
  findings jsonb NOT NULL DEFAULT '[]',
  for_study boolean NOT NULL DEFAULT false,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, radiograph_id) REFERENCES radiographs (practice_id, id),
  FOREIGN KEY (practice_id, placed_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX landmark_sets_number ON landmark_sets (practice_id, radiograph_id, number);

CREATE TABLE film_outlines (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  radiograph_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('lucent line', 'trim line', 'device outline', 'note')),
  points jsonb NOT NULL,
  label text,
  is_removal boolean NOT NULL DEFAULT false,
  replaces_id uuid,
  landmark_set_id uuid,
  measurements jsonb NOT NULL DEFAULT '[]',
  area_mm2 double precision,
  area_standard_uncertainty_mm2 double precision,
  findings jsonb NOT NULL DEFAULT '[]',
  drawn_by uuid NOT NULL,
  drawn_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, radiograph_id) REFERENCES radiographs (practice_id, id),
  FOREIGN KEY (practice_id, replaces_id) REFERENCES film_outlines (practice_id, id),
  FOREIGN KEY (practice_id, landmark_set_id) REFERENCES landmark_sets (practice_id, id),
  FOREIGN KEY (practice_id, drawn_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX film_outlines_replaced_once ON film_outlines (practice_id, replaces_id) WHERE replaces_id IS NOT NULL;
CREATE INDEX film_outlines_film ON film_outlines (practice_id, radiograph_id);

CREATE TABLE procedures (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  foot text NOT NULL CHECK (foot IN ('LF', 'RF', 'LH', 'RH')),
  kind text NOT NULL CHECK (kind IN ('drainage', 'resection')),
  reason text NOT NULL,
  radiograph_id uuid,
  outline_id uuid,
  status text NOT NULL CHECK (status IN ('requested', 'signed', 'done', 'declined')),
  requested_by uuid NOT NULL,
  requested_at timestamptz(3) NOT NULL,
  findings jsonb NOT NULL DEFAULT '[]',
  aftercare text[] NOT NULL DEFAULT '{}',
  consent jsonb,
  signed_by uuid,
  signed_at timestamptz(3),
  signed_text text,
  signature text,
  signing_key_id uuid,
  done_at timestamptz(3),
  done_by uuid,
  found text,
  declined_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, radiograph_id) REFERENCES radiographs (practice_id, id),
  FOREIGN KEY (practice_id, outline_id) REFERENCES film_outlines (practice_id, id),
  FOREIGN KEY (practice_id, requested_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, signed_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, done_by) REFERENCES people (practice_id, id)
);
CREATE INDEX procedures_case ON procedures (practice_id, case_id);
CREATE INDEX procedures_open ON procedures (practice_id, horse_id) WHERE status IN ('requested','signed');

CREATE TABLE prescriptions (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  number integer NOT NULL,
  status text NOT NULL CHECK (status IN ('draft', 'signed', 'accepted', 'queried', 'declined', 'done', 'superseded', 'withdrawn')),
  aim text NOT NULL,
  feet jsonb NOT NULL,
  do_not text[] NOT NULL DEFAULT '{}',
  conditions jsonb NOT NULL DEFAULT '{}',
  interval_days integer NOT NULL,
  urgent boolean NOT NULL DEFAULT false,
  radiograph_ids uuid[] NOT NULL DEFAULT '{}',
  findings jsonb NOT NULL DEFAULT '[]',
  overrides jsonb NOT NULL DEFAULT '[]',
  proposal jsonb,
  consent jsonb,
  drafted_by uuid NOT NULL,
  signed_by uuid,
  signed_at timestamptz(3),
  signed_text text,
  signature text,
  signing_key_id uuid,
  replaces_id uuid,
  superseded_at timestamptz(3),
  replied_by uuid,
  replied_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, drafted_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, signed_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, replaces_id) REFERENCES prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, replied_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX prescriptions_number ON prescriptions (practice_id, case_id, number);
CREATE UNIQUE INDEX prescriptions_one_current ON prescriptions (practice_id, horse_id) WHERE status IN ('signed','accepted','queried','declined');
CREATE INDEX prescriptions_case ON prescriptions (practice_id, case_id);
CREATE INDEX prescriptions_open ON prescriptions (practice_id, status) WHERE status IN ('draft','signed','queried','declined');

CREATE TABLE prescription_messages (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  prescription_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('accepted', 'queried', 'answered', 'declined')),
  text text,
  counter_proposal jsonb,
  written_by uuid NOT NULL,
  written_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, prescription_id) REFERENCES prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, written_by) REFERENCES people (practice_id, id)
);
CREATE INDEX prescription_messages_prescription ON prescription_messages (practice_id, prescription_id, written_at);

CREATE TABLE shoeing_records (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  prescription_id uuid,
  farrier_id uuid NOT NULL,
  started_at timestamptz(3),
  done_at timestamptz(3) NOT NULL,
  as_planned boolean NOT NULL,
  feet jsonb NOT NULL,
  comparison jsonb NOT NULL DEFAULT '[]',
  deviations text[] NOT NULL DEFAULT '{}',
  wedge_removal text,
  comfort_before jsonb,
  comfort_after jsonb,
  departures text,
  notes text,
  photo_ids uuid[] NOT NULL DEFAULT '{}',
  next_reset_on date,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, prescription_id) REFERENCES prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, farrier_id) REFERENCES people (practice_id, id)
);
CREATE INDEX shoeing_records_horse ON shoeing_records (practice_id, horse_id, done_at DESC);

CREATE TABLE post_fit_films (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  shoeing_record_id uuid NOT NULL,
  radiograph_id uuid,
  waived_reason text,
  settled_by uuid NOT NULL,
  settled_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, shoeing_record_id) REFERENCES shoeing_records (practice_id, id),
  FOREIGN KEY (practice_id, radiograph_id) REFERENCES radiographs (practice_id, id),
  FOREIGN KEY (practice_id, settled_by) REFERENCES people (practice_id, id),
  CHECK ((radiograph_id IS NULL) <> (waived_reason IS NULL))
);
CREATE UNIQUE INDEX post_fit_films_film ON post_fit_films (practice_id, shoeing_record_id, radiograph_id);
CREATE INDEX post_fit_films_visit ON post_fit_films (practice_id, shoeing_record_id, settled_at DESC);

CREATE TABLE resets (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  farrier_id uuid,
  status text NOT NULL CHECK (status IN ('open', 'booked', 'done', 'dropped')),
  last_done_on date NOT NULL,
  interval_days integer NOT NULL,
  due_on date NOT NULL,
  forecast_limit_on date,
  likely_limit_on date,
  breakover_after_mm double precision,
  lengthen_reason text,
  booked_for timestamptz(3),
  booked_minutes integer,
  job text,
  done_at timestamptz(3),
  shoeing_record_id uuid,
  paused_reason text,
  owner_answer text CHECK (owner_answer IN ('yes', 'no', 'call me', 'unclear')),
  owner_answered_at timestamptz(3),
  escalated_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, farrier_id) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX resets_one_open ON resets (practice_id, horse_id) WHERE status IN ('open','booked');
CREATE INDEX resets_due ON resets (practice_id, due_on) WHERE status IN ('open','booked');
CREATE INDEX resets_farrier_day ON resets (practice_id, farrier_id, booked_for) WHERE status = 'booked';

CREATE TABLE reset_attempts (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  reset_id uuid NOT NULL,
  at timestamptz(3) NOT NULL,
  kind text NOT NULL CHECK (kind IN ('contact', 'cancelled', 'missed', 'declined', 'refused by owner', 'weather', 'horse not caught', 'owner away', 'rebooked')),
  channel text CHECK (channel IN ('text', 'call', 'mail', 'in person')),
  answer text CHECK (answer IN ('yes', 'no', 'call me', 'unclear')),
  detail text NOT NULL,
  made_by uuid,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, reset_id) REFERENCES resets (practice_id, id),
  FOREIGN KEY (practice_id, made_by) REFERENCES people (practice_id, id)
);
CREATE INDEX reset_attempts_reset ON reset_attempts (practice_id, reset_id, at);

CREATE TABLE medication_courses (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  drug_key text NOT NULL,
  presentation_key text NOT NULL,
  route text NOT NULL,
  steps jsonb NOT NULL,
  start_on date NOT NULL,
  end_on date,
  time_zone text NOT NULL,
  weight_kg double precision NOT NULL,
  weight_low_kg double precision NOT NULL,
  weight_high_kg double precision NOT NULL,
  weight_method text NOT NULL,
  status text NOT NULL CHECK (status IN ('draft', 'signed', 'held', 'stopped', 'finished')),
  reason text,
  instructions text,
  findings jsonb NOT NULL DEFAULT '[]',
  overrides jsonb NOT NULL DEFAULT '[]',
  review_on date,
  reviews jsonb NOT NULL DEFAULT '[]',
  continues_from_day integer,
  restarts_series boolean NOT NULL DEFAULT false,
  vet_sets_schedule boolean NOT NULL DEFAULT false,
  hydration_recorded boolean NOT NULL DEFAULT false,
  recheck_on date,
  replaces_id uuid,
  drafted_by uuid NOT NULL,
  signed_by uuid,
  signed_at timestamptz(3),
  signed_text text,
  signature text,
  signing_key_id uuid,
  stopped_at timestamptz(3),
  stop_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, replaces_id) REFERENCES medication_courses (practice_id, id),
  FOREIGN KEY (practice_id, drafted_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, signed_by) REFERENCES people (practice_id, id)
);
CREATE INDEX medication_courses_open ON medication_courses (practice_id, horse_id) WHERE status IN ('draft','signed','held');

CREATE TABLE dose_records (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  course_id uuid,
  drug_key text NOT NULL,
  presentation_key text,
  route text NOT NULL,
  dose_mg double precision NOT NULL,
  slot text,
  scheduled_at timestamptz(3),
  outcome text NOT NULL CHECK (outcome IN ('given', 'refused', 'spat out', 'not given')),
  given_at timestamptz(3) NOT NULL,
  given_by uuid NOT NULL,
  batch text,
  reason text,
  findings jsonb NOT NULL DEFAULT '[]',
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, course_id) REFERENCES medication_courses (practice_id, id),
  FOREIGN KEY (practice_id, given_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX dose_records_slot ON dose_records (practice_id, course_id, slot) WHERE slot IS NOT NULL;
CREATE INDEX dose_records_horse ON dose_records (practice_id, horse_id, given_at DESC);

CREATE TABLE refused_requests (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  requested_at timestamptz(3) NOT NULL,
  requested_by uuid NOT NULL,
  kind text NOT NULL,
  request jsonb NOT NULL,
  findings jsonb NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, requested_by) REFERENCES people (practice_id, id)
);
CREATE INDEX refused_requests_horse ON refused_requests (practice_id, horse_id, requested_at DESC);

CREATE TABLE holds (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  course_id uuid NOT NULL,
  why text NOT NULL CHECK (why IN ('red flag', 'weight', 'result', 'vet', 'review', 'condition')),
  reason text NOT NULL,
  findings jsonb NOT NULL DEFAULT '[]',
  raised_at timestamptz(3) NOT NULL,
  raised_by uuid,
  released_at timestamptz(3),
  released_by uuid,
  release_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, course_id) REFERENCES medication_courses (practice_id, id),
  FOREIGN KEY (practice_id, raised_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, released_by) REFERENCES people (practice_id, id)
);
CREATE INDEX holds_open ON holds (practice_id, course_id) WHERE released_at IS NULL;

CREATE TABLE lab_results (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  taken_on date NOT NULL,
  test text NOT NULL,
  value double precision NOT NULL,
  unit text NOT NULL,
  assay text,
  laboratory text,
  range_low double precision,
  range_high double precision,
  cutoff double precision,
  feeding text,
  protocol text,
  minute integer,
  reference jsonb,
  reading text,
  findings jsonb NOT NULL DEFAULT '[]',
  note text,
  added_by uuid NOT NULL,
  read_by uuid,
  read_at timestamptz(3),
  released_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, added_by) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, read_by) REFERENCES people (practice_id, id)
);
CREATE INDEX lab_results_horse ON lab_results (practice_id, horse_id, taken_on DESC);
CREATE INDEX lab_results_unread ON lab_results (practice_id) WHERE read_at IS NULL;

CREATE TABLE handoff_notes (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  cause text NOT NULL,
  from_person uuid NOT NULL,
  from_role text NOT NULL,
  to_role text NOT NULL,
  to_person uuid,
  urgent boolean NOT NULL DEFAULT false,
  situation text NOT NULL,
  found text,
  done text,
  must_do text NOT NULL,
  by_when text,
  call_me_if text,
  written_at timestamptz(3) NOT NULL,
  acknowledge_by timestamptz(3) NOT NULL,
  escalated_at timestamptz(3),
  acknowledged_by uuid,
  acknowledged_at timestamptz(3),
  answer text,
  ref_type text,
  ref_id uuid,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, from_person) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, to_person) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, acknowledged_by) REFERENCES people (practice_id, id)
);
CREATE INDEX handoff_notes_open ON handoff_notes (practice_id, to_role, acknowledge_by) WHERE acknowledged_at IS NULL;
CREATE INDEX handoff_notes_case ON handoff_notes (practice_id, case_id, written_at DESC);

CREATE TABLE settings (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  key text NOT NULL,
  value jsonb NOT NULL,
  source text NOT NULL,
  since date NOT NULL,
  set_by uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, set_by) REFERENCES people (practice_id, id)
);
CREATE INDEX settings_key ON settings (practice_id, key, since DESC);

CREATE TABLE audit_heads (
  practice_id uuid NOT NULL,
  sequence bigint NOT NULL,
  hash text NOT NULL,
  PRIMARY KEY (practice_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);

CREATE TABLE audit_entries (
  practice_id uuid NOT NULL,
  sequence bigint NOT NULL,
  at timestamptz(3) NOT NULL,
  entry text NOT NULL,
  previous_hash text NOT NULL,
  hash text NOT NULL,
  event text NOT NULL,
  actor_id uuid,
  horse_id uuid,
  subject_type text NOT NULL,
  subject_id uuid,
  PRIMARY KEY (practice_id, sequence),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);
CREATE INDEX audit_entries_subject ON audit_entries (practice_id, subject_type, subject_id);
CREATE INDEX audit_entries_horse ON audit_entries (practice_id, horse_id, sequence DESC);

CREATE TABLE idempotency_keys (
  practice_id uuid NOT NULL,
  person_id uuid NOT NULL,
  key text NOT NULL,
  operation text NOT NULL,
  request_hash text NOT NULL,
  status integer NOT NULL,
  etag text,
  response jsonb NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, person_id, key),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);

CREATE TABLE outbox (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  kind text NOT NULL,
  payload jsonb NOT NULL,
  sealed_secret text,
  next_try_at timestamptz(3) NOT NULL DEFAULT now(),
  attempts integer NOT NULL DEFAULT 0,
  last_error text,
  sent_at timestamptz(3),
  dropped_at timestamptz(3),
  dropped_because text,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);
CREATE INDEX outbox_unsent ON outbox (practice_id, next_try_at) WHERE sent_at IS NULL AND dropped_at IS NULL;

CREATE TABLE reminders (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  reset_id uuid NOT NULL,
  person_id uuid NOT NULL,
  outbox_id uuid NOT NULL,
  token_hash text NOT NULL,
  asked_for timestamptz(3),
  sent_by uuid,
  expires_at timestamptz(3) NOT NULL,
  answer text CHECK (answer IN ('yes', 'no', 'call me')),
  answered_at timestamptz(3),
  message text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, reset_id) REFERENCES resets (practice_id, id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, sent_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX reminders_token ON reminders (token_hash);
CREATE INDEX reminders_reset ON reminders (practice_id, reset_id, created_at DESC);

CREATE TABLE working_weeks (
  practice_id uuid NOT NULL,
  person_id uuid NOT NULL,
  hours jsonb NOT NULL DEFAULT '[]',
  lunch jsonb,
  skills text[] NOT NULL DEFAULT '{}',
  yard_ids uuid[] NOT NULL DEFAULT '{}',
  home_lat double precision,
  home_lon double precision,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, person_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);

CREATE TABLE absences (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  from_on date NOT NULL,
  to_on date NOT NULL,
  reason text NOT NULL,
  noted_by uuid NOT NULL,
  withdrawn_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, noted_by) REFERENCES people (practice_id, id),
  CHECK (from_on <= to_on)
);
CREATE INDEX absences_person ON absences (practice_id, person_id, to_on) WHERE withdrawn_at IS NULL;

CREATE TABLE practice_closures (
  practice_id uuid NOT NULL,
  closed_on date NOT NULL,
  reason text NOT NULL,
  set_by uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, closed_on),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, set_by) REFERENCES people (practice_id, id)
);

CREATE TABLE horizon_plans (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  status text NOT NULL CHECK (status IN ('waiting', 'running', 'done', 'cancelled', 'failed')),
  from_on date NOT NULL,
  to_on date NOT NULL,
  request jsonb NOT NULL,
  seed integer NOT NULL DEFAULT 1,
  progress jsonb,
  result jsonb,
  failure text,
  requested_by uuid NOT NULL,
  started_at timestamptz(3),
  finished_at timestamptz(3),
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, requested_by) REFERENCES people (practice_id, id)
);
CREATE INDEX horizon_plans_open ON horizon_plans (practice_id, created_at) WHERE status IN ('waiting','running');
CREATE INDEX horizon_plans_newest ON horizon_plans (practice_id, created_at DESC);

CREATE TABLE plan_adoptions (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  plan_id uuid NOT NULL,
  reset_id uuid NOT NULL,
  outcome text NOT NULL CHECK (outcome IN ('booked', 'conflict', 'refused')),
  detail text,
  adopted_by uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, plan_id) REFERENCES horizon_plans (practice_id, id),
  FOREIGN KEY (practice_id, adopted_by) REFERENCES people (practice_id, id)
);
CREATE INDEX plan_adoptions_plan ON plan_adoptions (practice_id, plan_id);

CREATE TABLE day_delays (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  farrier_id uuid NOT NULL,
  day_on date NOT NULL,
  reported_at timestamptz(3) NOT NULL,
  free_at timestamptz(3) NOT NULL,
  lat double precision,
  lon double precision,
  under_way uuid[] NOT NULL DEFAULT '{}',
  note text,
  reported_by uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, farrier_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, reported_by) REFERENCES people (practice_id, id)
);
CREATE INDEX day_delays_day ON day_delays (practice_id, farrier_id, day_on, reported_at DESC);

CREATE TABLE calendar_feeds (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  token_hash text NOT NULL,
  label text NOT NULL,
  revoked_at timestamptz(3),
  last_read_at timestamptz(3),
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX calendar_feeds_token ON calendar_feeds (token_hash);
CREATE INDEX calendar_feeds_person ON calendar_feeds (practice_id, person_id);

CREATE TABLE calendar_entries (
  practice_id uuid NOT NULL,
  person_id uuid NOT NULL,
  uid text NOT NULL,
  sequence integer NOT NULL,
  fingerprint text NOT NULL,
  event jsonb NOT NULL,
  changed_at timestamptz(3) NOT NULL,
  cancelled_at timestamptz(3),
  PRIMARY KEY (practice_id, person_id, uid),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);

CREATE TABLE compliance_figures (
  practice_id uuid NOT NULL,
  figured_on date NOT NULL,
  kind text NOT NULL CHECK (kind IN ('practice', 'farrier', 'yard')),
  subject text NOT NULL,
  on_time integer NOT NULL,
  total integer NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, figured_on, kind, subject),
  FOREIGN KEY (practice_id) REFERENCES practices (id)
);

CREATE TABLE horse_covers (
  practice_id uuid NOT NULL,
  horse_id uuid NOT NULL,
  person_id uuid NOT NULL,
  until_on date NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, horse_id, person_id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX horse_covers_person ON horse_covers (practice_id, person_id);

CREATE TABLE other_medicines (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  name text NOT NULL,
  class text NOT NULL CHECK (class IN ('corticosteroid', 'nephrotoxic', 'anticoagulant', 'sedative', 'other')),
  route text NOT NULL,
  amount text,
  batch text,
  given_at timestamptz(3) NOT NULL,
  given_by text NOT NULL,
  recorded_by uuid NOT NULL,
  reason text,
  watch_until date,
  findings jsonb NOT NULL DEFAULT '[]',
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, recorded_by) REFERENCES people (practice_id, id)
);
CREATE INDEX other_medicines_horse ON other_medicines (practice_id, horse_id, given_at DESC);

CREATE TABLE written_prescriptions (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  course_id uuid NOT NULL,
  number integer NOT NULL,
  issued_on date NOT NULL,
  last_on date NOT NULL,
  repeats integer NOT NULL DEFAULT 0,
  kind jsonb NOT NULL,
  fields jsonb NOT NULL,
  findings jsonb NOT NULL DEFAULT '[]',
  issued_by uuid NOT NULL,
  issued_at timestamptz(3) NOT NULL,
  signed_text text NOT NULL,
  signature text NOT NULL,
  signing_key_id uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, course_id) REFERENCES medication_courses (practice_id, id),
  FOREIGN KEY (practice_id, issued_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX written_prescriptions_number ON written_prescriptions (practice_id, number);
CREATE INDEX written_prescriptions_horse ON written_prescriptions (practice_id, horse_id, issued_at DESC);

CREATE TABLE prescription_supplies (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  written_prescription_id uuid NOT NULL,
  number integer NOT NULL,
  supplied_on date NOT NULL,
  quantity text NOT NULL,
  batch text,
  supplied_by uuid NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, written_prescription_id) REFERENCES written_prescriptions (practice_id, id),
  FOREIGN KEY (practice_id, supplied_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX prescription_supplies_number ON prescription_supplies (practice_id, written_prescription_id, number);

CREATE TABLE monitoring_waivers (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  task_key text NOT NULL,
  reason text NOT NULL,
  waived_by uuid NOT NULL,
  waived_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, waived_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX monitoring_waivers_task ON monitoring_waivers (practice_id, horse_id, task_key);

CREATE TABLE feeding_plans (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  request jsonb NOT NULL,
  plan jsonb NOT NULL,
  findings jsonb NOT NULL DEFAULT '[]',
  target_weight_kg double precision,
  instructions text,
  starts_on date NOT NULL,
  signed_by uuid NOT NULL,
  signed_at timestamptz(3) NOT NULL,
  signed_text text NOT NULL,
  signature text NOT NULL,
  signing_key_id uuid NOT NULL,
  ended_at timestamptz(3),
  end_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, signed_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX feeding_plans_current ON feeding_plans (practice_id, horse_id) WHERE ended_at IS NULL;

CREATE TABLE movement_ladders (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid NOT NULL,
  stages jsonb NOT NULL,
  stage_index integer NOT NULL DEFAULT 0,
  stage_since date NOT NULL,
  moves jsonb NOT NULL DEFAULT '[]',
  status text NOT NULL CHECK (status IN ('live', 'ended')),
  started_by uuid NOT NULL,
  started_at timestamptz(3) NOT NULL,
  ended_at timestamptz(3),
  end_reason text,
  version integer NOT NULL DEFAULT 1,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, started_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX movement_ladders_one_live ON movement_ladders (practice_id, horse_id) WHERE status = 'live';

CREATE TABLE ice_entries (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  horse_id uuid NOT NULL,
  case_id uuid,
  from_at timestamptz(3) NOT NULL,
  to_at timestamptz(3) NOT NULL,
  hoof_celsius double precision,
  feet text[] NOT NULL DEFAULT '{}',
  recorded_by uuid NOT NULL,
  note text,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, horse_id) REFERENCES horses (practice_id, id),
  FOREIGN KEY (practice_id, case_id) REFERENCES cases (practice_id, id),
  FOREIGN KEY (practice_id, recorded_by) REFERENCES people (practice_id, id),
  CHECK (from_at < to_at)
);
CREATE INDEX ice_entries_horse ON ice_entries (practice_id, horse_id, from_at DESC);

-- Who may see and write what.

ALTER TABLE practices ENABLE ROW LEVEL SECURITY;
ALTER TABLE practices FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON practices
  USING (id = app_practice() OR app_is_signing_in())
  WITH CHECK (id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON practices TO heelward_app;

ALTER TABLE people ENABLE ROW LEVEL SECURITY;
ALTER TABLE people FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON people
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON people TO heelward_app;

ALTER TABLE sessions ENABLE ROW LEVEL SECURITY;
ALTER TABLE sessions FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON sessions
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON sessions TO heelward_app;

ALTER TABLE invitations ENABLE ROW LEVEL SECURITY;
ALTER TABLE invitations FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON invitations
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON invitations TO heelward_app;

ALTER TABLE signing_keys ENABLE ROW LEVEL SECURITY;
ALTER TABLE signing_keys FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON signing_keys
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT ON signing_keys TO heelward_app;

ALTER TABLE yards ENABLE ROW LEVEL SECURITY;
ALTER TABLE yards FORCE ROW LEVEL SECURITY;
GRANT SELECT, INSERT, UPDATE ON yards TO heelward_app;

ALTER TABLE yard_people ENABLE ROW LEVEL SECURITY;
ALTER TABLE yard_people FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON yard_people
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON yard_people TO heelward_app;

ALTER TABLE horses ENABLE ROW LEVEL SECURITY;
ALTER TABLE horses FORCE ROW LEVEL SECURITY;
GRANT SELECT, INSERT, UPDATE ON horses TO heelward_app;

ALTER TABLE horse_people ENABLE ROW LEVEL SECURITY;
ALTER TABLE horse_people FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON horse_people
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON horse_people TO heelward_app;

ALTER TABLE weighings ENABLE ROW LEVEL SECURITY;
ALTER TABLE weighings FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON weighings
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = weighings.practice_id AND h.id = weighings.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = weighings.practice_id AND h.id = weighings.horse_id)));
GRANT SELECT, INSERT ON weighings TO heelward_app;

ALTER TABLE cases ENABLE ROW LEVEL SECURITY;
ALTER TABLE cases FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON cases
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = cases.practice_id AND h.id = cases.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = cases.practice_id AND h.id = cases.horse_id)));
GRANT SELECT, INSERT, UPDATE ON cases TO heelward_app;

ALTER TABLE case_events ENABLE ROW LEVEL SECURITY;
ALTER TABLE case_events FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON case_events
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = case_events.practice_id AND h.id = case_events.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = case_events.practice_id AND h.id = case_events.horse_id)));
GRANT SELECT, INSERT ON case_events TO heelward_app;

ALTER TABLE phone_calls ENABLE ROW LEVEL SECURITY;
ALTER TABLE phone_calls FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON phone_calls
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = phone_calls.practice_id AND h.id = phone_calls.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = phone_calls.practice_id AND h.id = phone_calls.horse_id)));
GRANT SELECT, INSERT ON phone_calls TO heelward_app;

ALTER TABLE first_aid_sheets ENABLE ROW LEVEL SECURITY;
ALTER TABLE first_aid_sheets FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON first_aid_sheets
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = first_aid_sheets.practice_id AND h.id = first_aid_sheets.horse_id)) OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = first_aid_sheets.practice_id AND h.id = first_aid_sheets.horse_id)) OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON first_aid_sheets TO heelward_app;

ALTER TABLE first_aid_ticks ENABLE ROW LEVEL SECURITY;
ALTER TABLE first_aid_ticks FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON first_aid_ticks
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = first_aid_ticks.practice_id AND h.id = first_aid_ticks.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = first_aid_ticks.practice_id AND h.id = first_aid_ticks.horse_id)));
GRANT SELECT, INSERT ON first_aid_ticks TO heelward_app;

ALTER TABLE examinations ENABLE ROW LEVEL SECURITY;
ALTER TABLE examinations FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON examinations
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = examinations.practice_id AND h.id = examinations.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = examinations.practice_id AND h.id = examinations.horse_id)));
GRANT SELECT, INSERT ON examinations TO heelward_app;

ALTER TABLE documents ENABLE ROW LEVEL SECURITY;
ALTER TABLE documents FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON documents
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = documents.practice_id AND h.id = documents.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = documents.practice_id AND h.id = documents.horse_id)));
GRANT SELECT, INSERT ON documents TO heelward_app;

ALTER TABLE radiographs ENABLE ROW LEVEL SECURITY;
ALTER TABLE radiographs FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON radiographs
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = radiographs.practice_id AND h.id = radiographs.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = radiographs.practice_id AND h.id = radiographs.horse_id)));
GRANT SELECT, INSERT, UPDATE ON radiographs TO heelward_app;

ALTER TABLE landmark_sets ENABLE ROW LEVEL SECURITY;
ALTER TABLE landmark_sets FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON landmark_sets
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = landmark_sets.practice_id AND h.id = landmark_sets.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = landmark_sets.practice_id AND h.id = landmark_sets.horse_id)));
GRANT SELECT, INSERT ON landmark_sets TO heelward_app;

ALTER TABLE film_outlines ENABLE ROW LEVEL SECURITY;
ALTER TABLE film_outlines FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON film_outlines
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = film_outlines.practice_id AND h.id = film_outlines.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = film_outlines.practice_id AND h.id = film_outlines.horse_id)));
GRANT SELECT, INSERT ON film_outlines TO heelward_app;

ALTER TABLE procedures ENABLE ROW LEVEL SECURITY;
ALTER TABLE procedures FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON procedures
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = procedures.practice_id AND h.id = procedures.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = procedures.practice_id AND h.id = procedures.horse_id)));
GRANT SELECT, INSERT, UPDATE ON procedures TO heelward_app;

ALTER TABLE prescriptions ENABLE ROW LEVEL SECURITY;
ALTER TABLE prescriptions FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON prescriptions
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescriptions.practice_id AND h.id = prescriptions.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescriptions.practice_id AND h.id = prescriptions.horse_id)));
GRANT SELECT, INSERT, UPDATE ON prescriptions TO heelward_app;

ALTER TABLE prescription_messages ENABLE ROW LEVEL SECURITY;
ALTER TABLE prescription_messages FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON prescription_messages
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescription_messages.practice_id AND h.id = prescription_messages.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescription_messages.practice_id AND h.id = prescription_messages.horse_id)));
GRANT SELECT, INSERT ON prescription_messages TO heelward_app;

ALTER TABLE shoeing_records ENABLE ROW LEVEL SECURITY;
ALTER TABLE shoeing_records FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON shoeing_records
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = shoeing_records.practice_id AND h.id = shoeing_records.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = shoeing_records.practice_id AND h.id = shoeing_records.horse_id)));
GRANT SELECT, INSERT ON shoeing_records TO heelward_app;

ALTER TABLE post_fit_films ENABLE ROW LEVEL SECURITY;
ALTER TABLE post_fit_films FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON post_fit_films
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = post_fit_films.practice_id AND h.id = post_fit_films.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = post_fit_films.practice_id AND h.id = post_fit_films.horse_id)));
GRANT SELECT, INSERT ON post_fit_films TO heelward_app;

ALTER TABLE resets ENABLE ROW LEVEL SECURITY;
ALTER TABLE resets FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON resets
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = resets.practice_id AND h.id = resets.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = resets.practice_id AND h.id = resets.horse_id)));
GRANT SELECT, INSERT, UPDATE ON resets TO heelward_app;

ALTER TABLE reset_attempts ENABLE ROW LEVEL SECURITY;
ALTER TABLE reset_attempts FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON reset_attempts
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = reset_attempts.practice_id AND h.id = reset_attempts.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = reset_attempts.practice_id AND h.id = reset_attempts.horse_id)));
GRANT SELECT, INSERT ON reset_attempts TO heelward_app;

ALTER TABLE medication_courses ENABLE ROW LEVEL SECURITY;
ALTER TABLE medication_courses FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON medication_courses
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = medication_courses.practice_id AND h.id = medication_courses.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = medication_courses.practice_id AND h.id = medication_courses.horse_id)));
GRANT SELECT, INSERT, UPDATE ON medication_courses TO heelward_app;

ALTER TABLE dose_records ENABLE ROW LEVEL SECURITY;
ALTER TABLE dose_records FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON dose_records
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = dose_records.practice_id AND h.id = dose_records.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = dose_records.practice_id AND h.id = dose_records.horse_id)));
GRANT SELECT, INSERT ON dose_records TO heelward_app;

ALTER TABLE refused_requests ENABLE ROW LEVEL SECURITY;
ALTER TABLE refused_requests FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON refused_requests
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = refused_requests.practice_id AND h.id = refused_requests.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = refused_requests.practice_id AND h.id = refused_requests.horse_id)));
GRANT SELECT, INSERT ON refused_requests TO heelward_app;

ALTER TABLE holds ENABLE ROW LEVEL SECURITY;
ALTER TABLE holds FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON holds
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = holds.practice_id AND h.id = holds.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = holds.practice_id AND h.id = holds.horse_id)));
GRANT SELECT, INSERT, UPDATE ON holds TO heelward_app;

ALTER TABLE lab_results ENABLE ROW LEVEL SECURITY;
ALTER TABLE lab_results FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON lab_results
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = lab_results.practice_id AND h.id = lab_results.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = lab_results.practice_id AND h.id = lab_results.horse_id)));
GRANT SELECT, INSERT, UPDATE ON lab_results TO heelward_app;

ALTER TABLE handoff_notes ENABLE ROW LEVEL SECURITY;
ALTER TABLE handoff_notes FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON handoff_notes
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = handoff_notes.practice_id AND h.id = handoff_notes.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = handoff_notes.practice_id AND h.id = handoff_notes.horse_id)));
GRANT SELECT, INSERT, UPDATE ON handoff_notes TO heelward_app;

ALTER TABLE settings ENABLE ROW LEVEL SECURITY;
ALTER TABLE settings FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON settings
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT ON settings TO heelward_app;

ALTER TABLE audit_heads ENABLE ROW LEVEL SECURITY;
ALTER TABLE audit_heads FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON audit_heads
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON audit_heads TO heelward_app;

ALTER TABLE audit_entries ENABLE ROW LEVEL SECURITY;
ALTER TABLE audit_entries FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON audit_entries
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT ON audit_entries TO heelward_app;

ALTER TABLE idempotency_keys ENABLE ROW LEVEL SECURITY;
ALTER TABLE idempotency_keys FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON idempotency_keys
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON idempotency_keys TO heelward_app;

ALTER TABLE outbox ENABLE ROW LEVEL SECURITY;
ALTER TABLE outbox FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON outbox
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON outbox TO heelward_app;

ALTER TABLE reminders ENABLE ROW LEVEL SECURITY;
ALTER TABLE reminders FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON reminders
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = reminders.practice_id AND h.id = reminders.horse_id)) OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = reminders.practice_id AND h.id = reminders.horse_id)) OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON reminders TO heelward_app;

ALTER TABLE working_weeks ENABLE ROW LEVEL SECURITY;
ALTER TABLE working_weeks FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON working_weeks
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON working_weeks TO heelward_app;

ALTER TABLE absences ENABLE ROW LEVEL SECURITY;
ALTER TABLE absences FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON absences
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON absences TO heelward_app;

ALTER TABLE practice_closures ENABLE ROW LEVEL SECURITY;
ALTER TABLE practice_closures FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON practice_closures
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON practice_closures TO heelward_app;

ALTER TABLE horizon_plans ENABLE ROW LEVEL SECURITY;
ALTER TABLE horizon_plans FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON horizon_plans
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE ON horizon_plans TO heelward_app;

ALTER TABLE plan_adoptions ENABLE ROW LEVEL SECURITY;
ALTER TABLE plan_adoptions FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON plan_adoptions
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT ON plan_adoptions TO heelward_app;

ALTER TABLE day_delays ENABLE ROW LEVEL SECURITY;
ALTER TABLE day_delays FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON day_delays
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT ON day_delays TO heelward_app;

ALTER TABLE calendar_feeds ENABLE ROW LEVEL SECURITY;
ALTER TABLE calendar_feeds FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON calendar_feeds
  USING (practice_id = app_practice() OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() OR app_is_signing_in());
GRANT SELECT, INSERT, UPDATE ON calendar_feeds TO heelward_app;

ALTER TABLE calendar_entries ENABLE ROW LEVEL SECURITY;
ALTER TABLE calendar_entries FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON calendar_entries
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON calendar_entries TO heelward_app;

ALTER TABLE compliance_figures ENABLE ROW LEVEL SECURITY;
ALTER TABLE compliance_figures FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON compliance_figures
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON compliance_figures TO heelward_app;

ALTER TABLE horse_covers ENABLE ROW LEVEL SECURITY;
ALTER TABLE horse_covers FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON horse_covers
  USING (practice_id = app_practice())
  WITH CHECK (practice_id = app_practice());
GRANT SELECT, INSERT, UPDATE, DELETE ON horse_covers TO heelward_app;

ALTER TABLE other_medicines ENABLE ROW LEVEL SECURITY;
ALTER TABLE other_medicines FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON other_medicines
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = other_medicines.practice_id AND h.id = other_medicines.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = other_medicines.practice_id AND h.id = other_medicines.horse_id)));
GRANT SELECT, INSERT ON other_medicines TO heelward_app;

ALTER TABLE written_prescriptions ENABLE ROW LEVEL SECURITY;
ALTER TABLE written_prescriptions FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON written_prescriptions
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = written_prescriptions.practice_id AND h.id = written_prescriptions.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = written_prescriptions.practice_id AND h.id = written_prescriptions.horse_id)));
GRANT SELECT, INSERT ON written_prescriptions TO heelward_app;

ALTER TABLE prescription_supplies ENABLE ROW LEVEL SECURITY;
ALTER TABLE prescription_supplies FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON prescription_supplies
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescription_supplies.practice_id AND h.id = prescription_supplies.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = prescription_supplies.practice_id AND h.id = prescription_supplies.horse_id)));
GRANT SELECT, INSERT ON prescription_supplies TO heelward_app;

ALTER TABLE monitoring_waivers ENABLE ROW LEVEL SECURITY;
ALTER TABLE monitoring_waivers FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON monitoring_waivers
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = monitoring_waivers.practice_id AND h.id = monitoring_waivers.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = monitoring_waivers.practice_id AND h.id = monitoring_waivers.horse_id)));
GRANT SELECT, INSERT ON monitoring_waivers TO heelward_app;

ALTER TABLE feeding_plans ENABLE ROW LEVEL SECURITY;
ALTER TABLE feeding_plans FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON feeding_plans
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = feeding_plans.practice_id AND h.id = feeding_plans.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = feeding_plans.practice_id AND h.id = feeding_plans.horse_id)));
GRANT SELECT, INSERT, UPDATE ON feeding_plans TO heelward_app;

ALTER TABLE movement_ladders ENABLE ROW LEVEL SECURITY;
ALTER TABLE movement_ladders FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON movement_ladders
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = movement_ladders.practice_id AND h.id = movement_ladders.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = movement_ladders.practice_id AND h.id = movement_ladders.horse_id)));
GRANT SELECT, INSERT, UPDATE ON movement_ladders TO heelward_app;

ALTER TABLE ice_entries ENABLE ROW LEVEL SECURITY;
ALTER TABLE ice_entries FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON ice_entries
  USING (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = ice_entries.practice_id AND h.id = ice_entries.horse_id)))
  WITH CHECK (practice_id = app_practice() AND (app_sees_all_horses() OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = ice_entries.practice_id AND h.id = ice_entries.horse_id)));
GRANT SELECT, INSERT ON ice_entries TO heelward_app;

-- A farrier sees the horses on the own list and those with open work for them; a yard carer those of
-- the own yards; an owner the own. What is not seen is not there.
CREATE POLICY of_practice ON horses
  USING (practice_id = app_practice() AND (
    app_sees_all_horses()
    OR (app_has_role('farrier') AND (
      farrier_id = app_person()
      OR EXISTS (SELECT 1 FROM horse_covers c
                 WHERE c.practice_id = horses.practice_id AND c.horse_id = horses.id AND c.person_id = app_person())
      OR EXISTS (SELECT 1 FROM yard_people y
                 WHERE y.practice_id = horses.practice_id AND y.yard_id = horses.yard_id AND y.person_id = app_person())))
    OR (app_has_role('carer') AND EXISTS (
      SELECT 1 FROM yard_people y
      WHERE y.practice_id = horses.practice_id AND y.yard_id = horses.yard_id AND y.person_id = app_person()))
    OR (app_has_role('owner') AND EXISTS (
      SELECT 1 FROM horse_people o
      WHERE o.practice_id = horses.practice_id AND o.horse_id = horses.id AND o.person_id = app_person()))
  ))
  WITH CHECK (practice_id = app_practice());

-- A yard carer sees the own yards, an owner those where the own horses stand.
CREATE POLICY of_practice ON yards
  USING (practice_id = app_practice() AND (
    app_sees_all_horses() OR app_has_role('farrier')
    OR EXISTS (SELECT 1 FROM yard_people y
               WHERE y.practice_id = yards.practice_id AND y.yard_id = yards.id AND y.person_id = app_person())
    OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = yards.practice_id AND h.yard_id = yards.id)))
  WITH CHECK (practice_id = app_practice());

-- Case numbers count up per practice without gaps on rollback.
CREATE FUNCTION next_case_number(practice uuid) RETURNS integer LANGUAGE sql
  AS $$ SELECT coalesce(max(number), 0) + 1 FROM cases WHERE practice_id = practice $$;

-- What was signed never changes: the bytes, the signature and what they speak of are sealed.
CREATE FUNCTION refuse_change_of_signed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.signed_text IS NOT NULL AND (
       NEW.signed_text IS DISTINCT FROM OLD.signed_text
    OR NEW.signature IS DISTINCT FROM OLD.signature
    OR NEW.signing_key_id IS DISTINCT FROM OLD.signing_key_id
    OR NEW.signed_at IS DISTINCT FROM OLD.signed_at
    OR NEW.signed_by IS DISTINCT FROM OLD.signed_by) THEN
    RAISE EXCEPTION 'signed records never change; supersede them' USING ERRCODE = 'HW001';
  END IF;
  RETURN NEW;
END $$;
CREATE FUNCTION refuse_change_of_signed_prescription() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.signed_text IS NOT NULL AND (
       NEW.feet IS DISTINCT FROM OLD.feet OR NEW.aim IS DISTINCT FROM OLD.aim
    OR NEW.do_not IS DISTINCT FROM OLD.do_not OR NEW.conditions IS DISTINCT FROM OLD.conditions
    OR NEW.interval_days IS DISTINCT FROM OLD.interval_days
    OR NEW.radiograph_ids IS DISTINCT FROM OLD.radiograph_ids
    OR NEW.horse_id IS DISTINCT FROM OLD.horse_id OR NEW.case_id IS DISTINCT FROM OLD.case_id) THEN
    RAISE EXCEPTION 'signed records never change; supersede them' USING ERRCODE = 'HW001';
  END IF;
  RETURN NEW;
END $$;
CREATE FUNCTION refuse_change_of_signed_course() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF OLD.signed_text IS NOT NULL AND (
       NEW.steps IS DISTINCT FROM OLD.steps OR NEW.drug_key IS DISTINCT FROM OLD.drug_key
    OR NEW.presentation_key IS DISTINCT FROM OLD.presentation_key OR NEW.route IS DISTINCT FROM OLD.route
    OR NEW.start_on IS DISTINCT FROM OLD.start_on OR NEW.weight_kg IS DISTINCT FROM OLD.weight_kg
    OR NEW.horse_id IS DISTINCT FROM OLD.horse_id) THEN
    RAISE EXCEPTION 'signed records never change; supersede them' USING ERRCODE = 'HW001';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER sealed BEFORE UPDATE ON prescriptions FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed();
CREATE TRIGGER sealed_content BEFORE UPDATE ON prescriptions FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed_prescription();
CREATE TRIGGER sealed BEFORE UPDATE ON medication_courses FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed();
CREATE TRIGGER sealed BEFORE UPDATE ON feeding_plans FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed();
CREATE TRIGGER sealed BEFORE UPDATE ON procedures FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed();
CREATE TRIGGER sealed_content BEFORE UPDATE ON medication_courses FOR EACH ROW EXECUTE FUNCTION refuse_change_of_signed_course();

-- The audit log and the clinical record only grow, whoever asks.
CREATE FUNCTION refuse_rewriting() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% only grows; write a new row', TG_TABLE_NAME USING ERRCODE = 'HW001';
END $$;
CREATE TRIGGER only_grows BEFORE UPDATE OR DELETE ON audit_entries FOR EACH ROW EXECUTE FUNCTION refuse_rewriting();
CREATE TRIGGER only_grows_truncate BEFORE TRUNCATE ON audit_entries FOR EACH STATEMENT EXECUTE FUNCTION refuse_rewriting();
