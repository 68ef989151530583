-- Second factors, new passwords by link, and whether a practice asks its vets and managers for a second factor.

ALTER TABLE practices ADD COLUMN second_factor_required boolean NOT NULL DEFAULT false;

-- How the session was opened: 'password', 'app code', 'passkey' or 'recovery code'.
ALTER TABLE sessions ADD COLUMN opened_with text NOT NULL DEFAULT 'password'
  CHECK (opened_with IN ('password', 'app code', 'passkey', 'recovery code'));

-- A passkey keeps its public key, an app its sealed key, a recovery code its hash.
CREATE TABLE second_factors (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  kind text NOT NULL CHECK (kind IN ('app code', 'passkey', 'recovery code')),
  name text NOT NULL,
  secret text,
  credential_id text,
  public_key text,
  transports text[] NOT NULL DEFAULT '{}',
  counter bigint NOT NULL DEFAULT 0,
  confirmed_at timestamptz(3),
  last_used_at timestamptz(3),
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  CHECK ((kind = 'passkey') = (credential_id IS NOT NULL AND public_key IS NOT NULL)),
  CHECK ((kind = 'passkey') = (secret IS NULL))
);
CREATE UNIQUE INDEX second_factors_credential ON second_factors (practice_id, credential_id) WHERE credential_id IS NOT NULL;
CREATE INDEX second_factors_person ON second_factors (practice_id, person_id);

-- What a passkey has to sign, once and within minutes.
CREATE TABLE passkey_challenges (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  purpose text NOT NULL CHECK (purpose IN ('enrolment', 'sign-in', 'confirmation')),
  challenge text NOT NULL,
  expires_at timestamptz(3) NOT NULL,
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id)
);
CREATE INDEX passkey_challenges_person ON passkey_challenges (practice_id, person_id, purpose);

-- A link to a new password: its hash, used once.
CREATE TABLE password_resets (
  practice_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  token_hash text NOT NULL,
  asked_by uuid,
  expires_at timestamptz(3) NOT NULL,
  used_at timestamptz(3),
  created_at timestamptz(3) NOT NULL DEFAULT now(),
  PRIMARY KEY (practice_id, id),
  FOREIGN KEY (practice_id) REFERENCES practices (id),
  FOREIGN KEY (practice_id, person_id) REFERENCES people (practice_id, id),
  FOREIGN KEY (practice_id, asked_by) REFERENCES people (practice_id, id)
);
CREATE UNIQUE INDEX password_resets_token ON password_resets (token_hash);
CREATE INDEX password_resets_person ON password_resets (practice_id, person_id, created_at DESC);

-- A person's own factors only; the service itself reads them while somebody signs in.
ALTER TABLE second_factors ENABLE ROW LEVEL SECURITY;
ALTER TABLE second_factors FORCE ROW LEVEL SECURITY;
CREATE POLICY of_person ON second_factors
  USING (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('manager') OR app_has_role('system')))
  WITH CHECK (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('system')));
GRANT SELECT, INSERT, UPDATE, DELETE ON second_factors TO heelward_app;

ALTER TABLE passkey_challenges ENABLE ROW LEVEL SECURITY;
ALTER TABLE passkey_challenges FORCE ROW LEVEL SECURITY;
CREATE POLICY of_person ON passkey_challenges
  USING (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('system')))
  WITH CHECK (practice_id = app_practice() AND (person_id = app_person() OR app_has_role('system')));
GRANT SELECT, INSERT, DELETE ON passkey_challenges TO heelward_app;

ALTER TABLE password_resets ENABLE ROW LEVEL SECURITY;
ALTER TABLE password_resets FORCE ROW LEVEL SECURITY;
CREATE POLICY of_practice ON password_resets
  USING (practice_id = app_practice() AND (app_has_role('manager') OR app_has_role('system')) OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() AND (app_has_role('manager') OR app_has_role('system')));
GRANT SELECT, INSERT, UPDATE ON password_resets TO heelward_app;
