import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let caseId: string;

/** A closed case of a new horse with one measured side view, put behind the service. */
const putCase = async (
  rotation: number,
  founder: number,
  closeReason: string | null,
  cause = "Insulin dysregulation",
): Promise<string> => {
  const [made] = await service.query(
    `WITH horse AS (INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id)
       SELECT practice_id, gen_random_uuid(), 'Horse ' || (SELECT count(*) FROM horses), type, sex, born_on, height_cm, yard_id FROM horses WHERE id = $1 RETURNING *),
     bout AS (INSERT INTO cases (practice_id, id, number, horse_id, phase, phase_since, cause, opened_at, closed_at, close_reason)
       SELECT practice_id, gen_random_uuid(), (SELECT coalesce(max(number), 0) + 1 FROM cases), id, CASE WHEN $2::text IS NULL THEN 'chronic active' ELSE 'closed' END, $3::timestamptz, $4, $3::timestamptz, CASE WHEN $2::text IS NULL THEN NULL ELSE $3::timestamptz END, $2::text FROM horse RETURNING *),
     film AS (INSERT INTO radiographs (practice_id, id, horse_id, case_id, foot, view, taken_at, file_name, media_type, sha256, size_bytes, blob_key, preview_key, pixels_key, width_px, height_px, bits_stored, film, scale, added_by)
       SELECT practice_id, gen_random_uuid(), horse_id, id, 'LF', 'lateromedial', $3::timestamptz, 'f.png', 'image/png', repeat('0', 64), 1, 'k', 'k', 'k', 1, 1, 8, '{}', '{}', $5::uuid FROM bout RETURNING *),
     reading AS (INSERT INTO landmark_sets (practice_id, id, horse_id, radiograph_id, number, points, placed_by, placed_at, measurements)
       SELECT practice_id, gen_random_uuid(), horse_id, id, 1, '{}', $5::uuid, $3::timestamptz, $6::jsonb FROM film RETURNING id)
     SELECT bout.id FROM bout, reading`,
    [
      service.horseId,
      closeReason,
      new Date(service.now()),
      cause,
      service.vet.id,
      JSON.stringify([
        { key: "capsularRotation", value: rotation },
        { key: "founderDistance", value: founder },
      ]),
    ],
  );
  return made?.["id"] as string;
};

beforeAll(async () => {
  service = await startTestService();
  caseId = await putCase(8, 10, null);
});
afterAll(() => service.close());

const compared = async () => (await service.vet.get(`/cases/${caseId}/similar`)).body;

describe("similar horses in the own records", () => {
  it("are not counted while there are four, and are with five, by how they ended", async () => {
    for (const rotation of [6, 7, 8, 9])
      // oxlint-disable-next-line no-await-in-loop
      await putCase(rotation, 10, "recovered");
    expect(await compared()).toMatchObject({
      subject: { rotationDegrees: 8, founderDistanceMm: 10 },
      count: null,
      outcomes: [],
    });
    await putCase(8, 12, "welfare decision");
    await putCase(20, 10, "died");
    await putCase(8, 10, "died", "Support limb after a fracture, and a worse founder distance");
    const found = await compared();
    expect(found.count).toBe(6);
    expect(found.outcomes).toEqual([
      { outcome: "recovered", count: 4 },
      { outcome: "died", count: 1 },
      { outcome: "welfare decision", count: 1 },
    ]);
  });

  it("are not looked for before a cause is known", async () => {
    await service.query("UPDATE cases SET cause = NULL WHERE id = $1", [caseId]);
    expect(await compared()).toMatchObject({ subject: null, count: null });
  });

  it("are for the vet alone", async () => {
    for (const person of [service.farrier, service.manager, service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get(`/cases/${caseId}/similar`)).status).toBe(403);
  });
});
