import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { measuredFilm, renderedFilm } from "../support/films.ts";
import { startTestService, type TestService } from "../support/service.ts";

let service: TestService;
let caseId: string;
let filmId: string;
let outlineId: string;
const film = renderedFilm();

/** A place between wall and bone: `down` along the wall line in mm, `deep` square to it in mm. */
const underWall = (down: number, deep: number) => {
  const { coronaryBand, wallDistal, markerStart, markerEnd, p3Tip } = film.points;
  const [a, b, m, n, tip] = [coronaryBand!, wallDistal!, markerStart!, markerEnd!, p3Tip!];
  const pxPerMm = Math.hypot(n.x - m.x, n.y - m.y) / 100;
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  const side = Math.sign(ux * (tip.y - a.y) - uy * (tip.x - a.x));
  return {
    x: a.x + pxPerMm * (down * ux - side * deep * uy),
    y: a.y + pxPerMm * (down * uy + side * deep * ux),
  };
};

beforeAll(async () => {
  service = await startTestService();
  const second = await service.personWith("vet", "Second Vet");
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
  filmId = await measuredFilm(service, caseId, second, film);
});
afterAll(async () => {
  await service.close();
});

describe("an outlined shadow", () => {
  it("is measured along and across the wall, as plain geometry says", async () => {
    const points = [underWall(20, 4), underWall(45, 4), underWall(45, 7), underWall(20, 7)];
    const drawn = await service.vet.send("post", `/radiographs/${filmId}/outlines`, {
      kind: "lucent line",
      points,
    });
    expect(drawn.status).toBe(201);
    outlineId = drawn.body.id;
    const valueOf = (key: string): number =>
      drawn.body.measurements.find((one: { key: string }) => one.key === key).value;
    // Reference: a rectangle of 25 × 3 mm that begins 20 mm down the wall.
    expect(valueOf("lucentExtentAlongWall")).toBeCloseTo(25, 6);
    expect(valueOf("lucentStart")).toBeCloseTo(20, 6);
    expect(valueOf("lucentWidth")).toBeCloseTo(3, 6);
    expect(valueOf("lucentLength")).toBeCloseTo(Math.hypot(25, 3), 6);
    expect(drawn.body.areaMm2).toBeCloseTo(75, 6);
    expect(drawn.body.findings.map((one: { rule: string }) => one.rule)).toContain(
      "radiograph/lucent-opening@1",
    );
  });

  it("is refused when it crosses itself or the wall is not marked", async () => {
    const crossed = [underWall(20, 4), underWall(45, 7), underWall(45, 4), underWall(20, 7)];
    const refused = await service.vet.send("post", `/radiographs/${filmId}/outlines`, {
      kind: "lucent line",
      points: crossed,
    });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toContain("crosses itself");
  });
});

describe("opening the wall", () => {
  const request = () => ({
    foot: "LF",
    kind: "drainage",
    reason: "Dark shadow, more lame, heat at the toe",
    outlineId,
  });
  const consent = {
    by: "Odo Owner",
    text: "Opening of the wall at the toe; risk of instability and infection explained; cost told",
    at: "2026-10-14T07:05:00+01:00",
  };
  const aftercare = ["Bandage dry, change daily", "Stand in until the vet has looked again"];

  it("may be asked for by the farrier, who can never sign it", async () => {
    const asked = await service.farrier.send("post", `/cases/${caseId}/procedures`, request());
    expect(asked.status).toBe(201);
    expect(asked.body).toMatchObject({ status: "requested", outlineId, radiographId: filmId });
    for (const person of [service.farrier, service.manager, service.carer])
      expect(
        (
          await person.send(
            "post",
            `/procedures/${asked.body.id}/signature`,
            { consent, aftercare },
            1,
          )
        ).status,
      ).toBe(403);
    for (const [path, body] of [
      ["outcome", { doneAt: "2026-10-14T07:08:00+01:00", found: "Gas" }],
      ["decline", { reason: "no" }],
    ] as const)
      expect(
        (await service.farrier.send("post", `/procedures/${asked.body.id}/${path}`, body, 1))
          .status,
      ).toBe(403);
    const notes = await service.vet.get(`/handoff-notes?state=open&caseId=${caseId}`);
    expect(notes.body.items[0]).toMatchObject({ toRole: "vet", urgent: true });
  });

  it("is done only after a vet signed it with consent and aftercare, which then reaches yard and farrier", async () => {
    const [asked] = (await service.vet.get(`/cases/${caseId}/procedures`)).body.items;
    const path = `/procedures/${asked.id}`;
    const early = await service.vet.send(
      "post",
      `${path}/outcome`,
      { doneAt: "2026-10-14T07:08:00+01:00", found: "Gas" },
      1,
    );
    expect(early.status).toBe(409);
    expect(
      (await service.vet.send("post", `${path}/signature`, { consent, aftercare: [] }, 1)).status,
    ).toBe(400);
    service.advance(40_000);
    const signed = await service.vet.send("post", `${path}/signature`, { consent, aftercare }, 1);
    expect(signed.status).toBe(200);
    // A dialog gives whole minutes: the minute of the signature counts, the one before it does not.
    const minute = Math.floor(service.now() / 60_000) * 60_000;
    expect(JSON.parse(signed.body.signedText)).toMatchObject({
      meaning: "orders a procedure on the foot",
      kind: "drainage",
      consent: { by: "Odo Owner" },
      signer: { name: "Vera Vet" },
    });
    expect(
      (await service.vet.send("post", `${path}/signature`, { consent, aftercare }, 1)).status,
    ).toBe(412);
    await expect(
      service.query("UPDATE procedures SET signed_text = '{}' WHERE id = $1", [asked.id]),
    ).rejects.toThrow("signed records never change");
    const before = await service.vet.send(
      "post",
      `${path}/outcome`,
      { doneAt: new Date(minute - 60_000).toISOString(), found: "Gas" },
      2,
    );
    expect(before.body.errors[0].pointer).toBe("/doneAt");
    service.advance(4 * 60_000);
    const done = await service.vet.send(
      "post",
      `${path}/outcome`,
      { doneAt: new Date(minute).toISOString(), found: "Dark serum, no bone in sight" },
      2,
    );
    expect(done.body).toMatchObject({ status: "done", doneBy: { name: "Vera Vet" } });
    for (const person of [service.carer, service.farrier]) {
      const notes = await person.get("/handoff-notes?state=open");
      expect(notes.body.items[0]).toMatchObject({
        toRole: person.role,
        mustDo: aftercare.join("; "),
        urgent: true,
      });
    }
    expect((await service.vet.send("post", `${path}/decline`, { reason: "late" }, 3)).status).toBe(
      409,
    );
  });

  it("names the foot in which the shadow lies, and may be declined with the reason", async () => {
    const wrong = await service.vet.send("post", `/cases/${caseId}/procedures`, {
      ...request(),
      foot: "RF",
    });
    expect(wrong.body.errors[0].pointer).toBe("/foot");
    const asked = await service.vet.send("post", `/cases/${caseId}/procedures`, {
      ...request(),
      kind: "resection",
    });
    const declined = await service.vet.send(
      "post",
      `/procedures/${asked.body.id}/decline`,
      { reason: "The wall still bears; recheck in a week" },
      1,
    );
    expect(declined.body).toMatchObject({ status: "declined", signedAt: null });
  });
});
