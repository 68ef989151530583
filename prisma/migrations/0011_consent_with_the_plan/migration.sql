-- The owner's consent is kept with the plan itself (prescriptions.consent), sealed with it at the signature
-- and told by the log; the table of its own was never written to.
DROP TABLE plan_consents;
