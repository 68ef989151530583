-- Row-level security that costs little to plan and to open. A policy that asks "is this horse seen?"
-- used to drag the farrier's list, the covers, the yards and the owners into the plan of every statement,
-- once for every table it reads. The question is now a function with a plan of its own, and whether the
-- person sees all horses is asked once a statement. Who sees what has not changed.

CREATE FUNCTION app_follows_horse(practice uuid, horse uuid, yard uuid, farrier uuid) RETURNS boolean
  LANGUAGE plpgsql STABLE PARALLEL SAFE AS $$
DECLARE
  person CONSTANT uuid := app_person();
BEGIN
  IF app_has_role('farrier') AND (farrier = person OR EXISTS (
       SELECT 1 FROM public.horse_covers c WHERE c.practice_id = practice AND c.horse_id = horse AND c.person_id = person)) THEN
    RETURN true;
  END IF;
  IF (app_has_role('farrier') OR app_has_role('carer')) AND EXISTS (
       SELECT 1 FROM public.yard_people y WHERE y.practice_id = practice AND y.yard_id = yard AND y.person_id = person) THEN
    RETURN true;
  END IF;
  RETURN app_has_role('owner') AND EXISTS (
    SELECT 1 FROM public.horse_people o WHERE o.practice_id = practice AND o.horse_id = horse AND o.person_id = person);
END $$;
-- Reads the horse under the horse's own policy, so that there is one answer only.
CREATE FUNCTION app_sees_horse(practice uuid, horse uuid) RETURNS boolean
  LANGUAGE plpgsql STABLE PARALLEL SAFE AS $$
BEGIN
  RETURN EXISTS (SELECT 1 FROM public.horses h WHERE h.practice_id = practice AND h.id = horse);
END $$;

ALTER POLICY of_practice ON horses
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_follows_horse(practice_id, id, yard_id, farrier_id)));

ALTER POLICY of_practice ON case_events
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON cases
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON documents
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON dose_records
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON examinations
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON feeding_plans
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON film_outlines
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON first_aid_ticks
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON handoff_notes
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON holds
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON ice_entries
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON lab_results
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON landmark_sets
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON medication_courses
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON monitoring_waivers
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON movement_ladders
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON other_medicines
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON phone_calls
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON post_fit_films
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON prescription_messages
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON prescription_supplies
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON prescriptions
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON procedures
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON radiographs
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON refused_requests
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON reset_attempts
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON resets
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON shoeing_records
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON weighings
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON written_prescriptions
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)))
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)));
ALTER POLICY of_practice ON first_aid_sheets
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)) OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)) OR app_is_signing_in());
ALTER POLICY of_practice ON reminders
  USING (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)) OR app_is_signing_in())
  WITH CHECK (practice_id = app_practice() AND ((SELECT app_sees_all_horses()) OR app_sees_horse(practice_id, horse_id)) OR app_is_signing_in());
