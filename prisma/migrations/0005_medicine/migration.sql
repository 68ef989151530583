-- Signed shifts of a running course's doses, and the practice's postal address for written prescriptions.
ALTER TABLE medication_courses ADD COLUMN shifts jsonb NOT NULL DEFAULT '[]';
ALTER TABLE practices ADD COLUMN postal_address text CHECK (length(postal_address) <= 300);
