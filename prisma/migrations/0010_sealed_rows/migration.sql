-- Every row of the clinical record is sealed by the log: a transaction notes which rows it touched, and
-- the audit entry it writes carries their hashes. A row that is changed, added or removed behind the
-- service no longer fits what the log says of it.

CREATE FUNCTION note_touched_row() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM set_config('app.touched',
    coalesce(current_setting('app.touched', true), '') || TG_TABLE_NAME || '/' || coalesce(NEW.id, OLD.id)::text || ' ', true);
  RETURN NULL;
END $$;
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON cases FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON case_events FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON documents FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON dose_records FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON examinations FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON feeding_plans FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON film_outlines FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON first_aid_sheets FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON first_aid_ticks FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON handoff_notes FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON holds FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON horses FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON ice_entries FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON lab_results FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON landmark_sets FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON medication_courses FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON monitoring_waivers FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON movement_ladders FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON other_medicines FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON phone_calls FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON post_fit_films FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON prescription_messages FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON prescription_supplies FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON prescriptions FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON procedures FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON radiographs FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON refused_requests FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON settings FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON shoeing_records FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON weighings FOR EACH ROW EXECUTE FUNCTION note_touched_row();
CREATE TRIGGER sealed_by_log AFTER INSERT OR UPDATE OR DELETE ON written_prescriptions FOR EACH ROW EXECUTE FUNCTION note_touched_row();

-- Erasing a caller's name and number; nothing else of a call ever changes.
GRANT UPDATE (caller, caller_phone) ON phone_calls TO heelward_app;
