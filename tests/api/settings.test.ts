import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { connect } from "../../apps/api/src/database/client.ts";
import { ownSettings, settingValue } from "../../apps/api/src/features/settings/values.ts";
import { startTestService, WEDNESDAY_0710, type TestService } from "../support/service.ts";

let service: TestService;
beforeAll(async () => {
  service = await startTestService();
});
afterAll(async () => {
  await service.close();
});

const DAY_MS = 86_400_000;
const RESIGN = "medication.resign-every";
const change = (key: string, value: number, since = "2026-10-14", source = "Practice meeting") =>
  service.vet.send("post", "/settings", { key, value, since, source });
const listed = async (key: string) => {
  const { body } = await service.manager.get("/settings");
  return (body.items as { key: string }[]).find((item) => item.key === key);
};

describe("settings", () => {
  it("shows every figure with its standard value, unit, source and what may be done to it", async () => {
    const { status, body } = await service.manager.get("/settings");
    expect(status).toBe(200);
    const keys = body.items.map((item: { key: string }) => item.key);
    expect(new Set(keys).size).toBe(keys.length);
    expect(keys).toEqual(
      expect.arrayContaining([
        "handoff.hours-urgent",
        "cycle.red-days-late",
        "trim.sole.block",
        "radiograph.sem-founder",
        "medication.ceiling.pbz/absolute.absolute-mg",
      ]),
    );
    expect(await listed(RESIGN)).toMatchObject({
      value: 14,
      standard: 14,
      unit: "days",
      change: "tighten",
      stricter: "lower",
      history: [{ value: 14, setBy: null }],
    });
  });

  it("is for vet and manager to read, and for the clinical lead alone to change", async () => {
    for (const person of [service.farrier, service.carer, service.owner])
      expect((await person.get("/settings")).status).toBe(403);
    const body = { key: RESIGN, value: 10, since: "2026-10-14", source: "Practice meeting" };
    for (const person of [service.manager, service.farrier, service.carer, service.owner])
      expect((await person.send("post", "/settings", body)).status).toBe(403);
    const other = await service.personWith("vet", "Vince Vet");
    await service.query("UPDATE people SET clinical_lead = false WHERE id = $1", [other.id]);
    const refused = await other.send("post", "/settings", body);
    expect(refused.status).toBe(403);
    expect(refused.body.detail).toContain("clinical lead");
  });

  it("takes a stricter value from a day on and keeps the old one with its dates", async () => {
    const changed = await change(RESIGN, 10, "2026-10-16");
    expect(changed.status).toBe(201);
    expect(changed.body).toMatchObject({
      value: 14,
      history: [
        { value: 14, setBy: null },
        {
          value: 10,
          since: "2026-10-16",
          source: "Practice meeting",
          setBy: { id: service.vet.id, name: "Vera Vet" },
        },
      ],
    });
    service.advance(3 * DAY_MS);
    const again = await service.personWith("vet", "Vilma Vet");
    const { body } = await again.get("/settings");
    expect(body.items.find((item: { key: string }) => item.key === RESIGN)).toMatchObject({
      value: 10,
      since: "2026-10-16",
      source: { citation: "Practice meeting", status: "house rule" },
      standard: 14,
    });
    service.advance(-3 * DAY_MS);
    expect(service.now()).toBe(WEDNESDAY_0710);
  });

  it("judges an old decision by the limit of its day", async () => {
    const db = connect(service.ownerUrl, 1);
    try {
      const value = (on: string) => settingValue({ tx: db }, RESIGN, on);
      expect(await value("2020-01-01")).toBe(14);
      expect(await value("2026-10-15")).toBe(14);
      expect(await value("2026-10-16")).toBe(10);
      expect(await value("2030-01-01")).toBe(10);
      expect((await change(RESIGN, 7, "2026-10-20")).status).toBe(201);
      expect((await change(RESIGN, 8, "2026-10-20")).status).toBe(201);
      expect(await value("2026-10-19")).toBe(10);
      // Of two written for one day the later counts; both stay in the history.
      expect(await value("2026-10-20")).toBe(8);
      expect(await listed(RESIGN)).toMatchObject({
        history: [{ value: 14 }, { value: 10 }, { value: 7 }, { value: 8 }],
      });
      const group = {
        resign: { key: RESIGN, value: 14 },
        other: { key: "cases.acute-hours", value: 72 },
      };
      expect(await ownSettings({ tx: db }, group, "2026-10-20")).toEqual({
        resign: { key: RESIGN, value: 8 },
        other: { key: "cases.acute-hours", value: 72 },
      });
      await expect(settingValue({ tx: db }, "no.such", "2026-10-20")).rejects.toThrow(RangeError);
    } finally {
      await db.$disconnect();
    }
  });

  it("lets a practice go back to the standard value, but never past it", async () => {
    expect((await change(RESIGN, 14, "2026-11-01")).status).toBe(201);
    const looser = await change(RESIGN, 15, "2026-11-02");
    expect(looser.status).toBe(422);
    expect(looser.body.findings).toEqual([
      expect.objectContaining({
        rule: "settings/tighten-only@1",
        outcome: "block",
        field: "/value",
      }),
    ]);
  });

  it("lowers a dose limit and refuses to raise one", async () => {
    const key = "medication.ceiling.pbz/horse-days-2-5.mg-per-kg";
    expect((await change(key, 4)).body).toMatchObject({ value: 4, standard: 4.4 });
    expect((await change(key, 4.5)).status).toBe(422);
    expect((await change("medication.ceiling.pbz/absolute.absolute-mg", 5000)).status).toBe(422);
  });

  it("changes a free figure both ways", async () => {
    expect((await change("routing/speed", 60)).status).toBe(201);
    expect((await change("routing/speed", 30)).body.value).toBe(30);
  });

  it("refuses what is fixed, what has no known direction, and what no rule would follow", async () => {
    const rule = async (key: string, value: number) => {
      const refused = await change(key, value);
      expect(refused.status).toBe(422);
      return refused.body.findings[0].rule as string;
    };
    expect(await rule("medication.nsaid-gap", 48)).toBe("settings/fixed@1");
    expect(await rule("radiograph.coverage-factor", 2)).toBe("settings/fixed@1");
    expect(await rule("examination.pain-creep-window", 4)).toBe("settings/not-applied@1");
    expect(await listed("examination.pain-creep-window")).toMatchObject({ change: "fixed" });
  });

  it("refuses slips: unknown keys, parts of days, tenfold values, days gone by", async () => {
    const pointer = async (...input: Parameters<typeof change>) => {
      const refused = await change(...input);
      expect(refused.status).toBe(400);
      return refused.body.errors[0].pointer as string;
    };
    expect(await pointer("no.such.figure", 1)).toBe("/key");
    expect(await pointer(RESIGN, 9.5)).toBe("/value");
    expect(await pointer(RESIGN, 1)).toBe("/value");
    expect(await pointer("routing/speed", 4500)).toBe("/value");
    expect(await pointer("medication.confirmed.pentoxifylline/24-h", 2)).toBe("/value");
    expect(await pointer(RESIGN, 9, "2026-10-13")).toBe("/since");
    expect((await change("medication.confirmed.pentoxifylline/24-h", 1)).status).toBe(201);
  });

  it("needs the password again after five minutes, and answers a repeated request once", async () => {
    const body = { key: "routing/circuity", value: 1.4, since: "2026-10-14", source: "Own trips" };
    const first = await service.vet
      .send("post", "/settings", body)
      .set("idempotency-key", "once-only-1");
    const again = await service.vet
      .send("post", "/settings", body)
      .set("idempotency-key", "once-only-1");
    expect(again.body).toEqual(first.body);
    expect(
      await service.query("SELECT count(*)::int AS n FROM settings WHERE key = 'routing/circuity'"),
    ).toEqual([{ n: 1 }]);
    service.advance(6 * 60_000);
    const late = await change("routing/circuity", 1.3);
    expect(late.status).toBe(401);
    expect(late.body.type).toMatch(/reauthentication-required$/);
  });

  it("only ever grows: the service's own role can neither change nor remove a row", async () => {
    for (const sql of ["UPDATE settings SET value = '1'", "DELETE FROM settings"])
      await expect(service.query(`SET LOCAL ROLE heelward_app; ${sql}`)).rejects.toThrow(
        /permission denied/,
      );
  });
});
