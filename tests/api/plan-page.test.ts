import { forecastBreakover } from "@heelward/domain/growth";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bytesFrom, measuredFilm, renderedFilm } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import { startTestService, TEST_MAIL, type TestService } from "../support/service.ts";

const tools = toolFolder();
let service: TestService;
let caseId: string;
let planId: string;

/** A film of a chronic foot; the right one a little milder, as two feet never founder alike. */
const film = async (foot: "LF" | "RF", seed: number) =>
  measuredFilm(
    service,
    caseId,
    service.farrier,
    renderedFilm(undefined, {
      side: foot === "LF" ? "L" : "R",
      render: { widthPx: 800, heightPx: 640, detectorPitchMm: 0.25, seed },
    }),
    { foot, takenAt: "2026-10-13T10:00:00Z" },
  );

const proposalFor = async (radiographId: string) =>
  (
    await service.vet.send("post", `/radiographs/${radiographId}/trim-proposal`, {
      shoe: "heart-bar",
      supportFill: "full",
      fixing: "glue",
    })
  ).body;

beforeAll(async () => {
  service = await startTestService();
  await service.vet.send("post", `/horses/${service.horseId}/weighings`, {
    method: "scale",
    weightKg: 480,
    weighedAt: "2026-10-13T08:00:00+01:00",
  });
  await service.query(
    "UPDATE horses SET breakover_limit_mm = 24, growth_mm_per_30d = 7.2, wall_angle_degrees = 51 WHERE id = $1",
    [service.horseId],
  );
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
  const films = [await film("LF", 3), await film("RF", 4)];
  const plans = [await proposalFor(films[0] ?? ""), await proposalFor(films[1] ?? "")];
  const drafted = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Load the back half of the foot, bring breakover back, leave every millimetre of sole.",
    feet: plans.map((one) => one.plan),
    doNot: ["No sole off in front of the frog.", "No hammering.", "No walk on concrete"],
    conditions: { handler: true, stopRule: "Stop when he will not stand on the other foot" },
    intervalDays: 28,
    radiographIds: films,
  });
  if (drafted.status !== 201) throw new Error(drafted.text);
  planId = drafted.body.id;
});
afterAll(async () => {
  tools.remove();
  await service.close();
});

const page = async (paper: "A4" | "Letter" = "A4", person = service.farrier) => {
  const answer = await bytesFrom(person, `/prescriptions/${planId}/page.pdf?paper=${paper}`);
  expect(answer.status, answer.bytes.toString().slice(0, 300)).toBe(200);
  const path = tools.write(`plan-${paper}.pdf`, answer.bytes);
  return { ...answer, path };
};
const textOf = (path: string): string => toolSays("pdftotext", "-layout", path, "-");

/** A text without the spaces by which a table is laid out. */
const close = (text: string): string => text.replaceAll(/\s+/gu, " ");
const tenth = (value: number): string => String(Math.round(value * 10) / 10);

describe("the page of a plan", () => {
  it("is one tagged page on A4 and on Letter, without errors, with its fonts inside", async () => {
    for (const [paper, size] of [
      ["A4", "595.28 x 841.89 pts (A4)"],
      ["Letter", "612 x 792 pts (letter)"],
    ] as const) {
      // One paper after the other.
      // oxlint-disable-next-line no-await-in-loop
      const { path, type } = await page(paper);
      expect(type).toBe("application/pdf");
      // Source: pdfinfo, pdffonts and pdftotext of poppler; qpdf.
      const info = toolSays("pdfinfo", path);
      expect(info).toMatch(/Tagged:\s+yes/);
      expect(info).toMatch(/Pages:\s+1\n/);
      expect(info).toContain(size);
      expect(toolSays("qpdf", "--check", path)).toContain("No syntax or stream encoding errors");
      const fonts = toolSays("pdffonts", path).split("\n").slice(2).filter(Boolean);
      expect(fonts.length).toBeGreaterThan(0);
      for (const font of fonts) expect(font).toMatch(/yes yes yes/);
      const structure = toolSays("pdfinfo", "-struct", path);
      for (const tag of ["H1", "Table", "TH", "TD", "Figure"]) expect(structure).toContain(tag);
    }
  });

  it("says the record's own figures, aim, cautions, days and whom to ring", async () => {
    const { body } = await service.vet.get(`/prescriptions/${planId}`);
    const text = close(textOf((await page()).path));
    expect(body.feet).toHaveLength(2);
    for (const foot of body.feet) {
      expect(text).toContain(`${tenth(foot.breakoverFromFrogTipMm)} mm`);
      expect(text).toContain(`${tenth(foot.breakoverFromP3TipMm)} mm after`);
      expect(text).toContain(`${tenth(foot.toeBackMm)} mm`);
      expect(text).toContain(`${tenth(foot.heelRemoveMm)} mm`);
      expect(text).toContain(`keep at least ${tenth(foot.soleMinMm)} mm`);
      expect(text).toContain(
        `wanted ${tenth(foot.palmarAngleTargetDegrees.low)} to ${tenth(foot.palmarAngleTargetDegrees.high)}°`,
      );
    }
    const row = (label: string): string => new RegExp(`${label} [^A-Z]*`).exec(text)?.[0] ?? "";
    expect(row("Toe back at the ground").match(/26 mm/g)).toHaveLength(2);
    for (const words of [
      body.aim,
      ...body.doNot.map((one: string) => `× ${one}`),
      body.conditions.stopRule,
      "Heart bar shoe",
      "Full fill behind the tip of P3",
      `within ${body.intervalDays} days`,
      "+353 1 000 0000",
      "ring the vet",
      "Left fore",
      "Right fore",
    ])
      expect(text).toContain(words);
  });

  it("forecasts by the horse's growth what the domain's own forecast says", async () => {
    // 14 mm left, 7.2 mm in 30 days at 51 degrees from 14 October: see the forecast's own tests for its sources.
    const { body } = await service.vet.get(`/prescriptions/${planId}`);
    const left = body.feet[0].breakoverFromP3TipMm as number;
    const day = forecastBreakover(
      { startOn: "2026-10-14", breakoverAfterMm: left, growthMmPer30d: 7.2, wallAngleDegrees: 51 },
      28,
    );
    const said = /day 28: ([\d.]+) mm \(([\d.]+) to ([\d.]+)\)/.exec(
      close(textOf((await page()).path)),
    );
    expect(Math.abs(Number(said?.[1]) - day.mid)).toBeLessThan(0.15);
    expect(Math.abs(Number(said?.[2]) - day.low10)).toBeLessThan(0.15);
    expect(Math.abs(Number(said?.[3]) - day.high90)).toBeLessThan(0.15);
  });

  it("leads back to the case by its code, which a reader of others finds on the printed page", async () => {
    const { path } = await page();
    const picture = path.replace(/\.pdf$/u, "");
    toolSays("pdftoppm", "-r", "150", "-gray", "-png", "-singlefile", path, picture);
    // Source: zbar, an independent reader of codes.
    expect(toolSays("zbarimg", "--raw", "-q", `${picture}.png`)).toContain(
      `${TEST_MAIL.publicUrl}/cases/${caseId}`,
    );
  });

  it("holds in black and white: lines of both drawings are black on white, not colours", async () => {
    const { path } = await page();
    const picture = path.replace(/\.pdf$/u, "-colour");
    toolSays("pdftoppm", "-r", "60", "-png", "-singlefile", path, picture);
    const { data, info } = await sharp(`${picture}.png`)
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    let coloured = 0;
    for (let at = 0; at < data.length; at += info.channels)
      if (Math.abs((data[at] ?? 0) - (data[at + 1] ?? 0)) > 12) coloured += 1;
    expect(coloured).toBe(0);
  });

  it("is stamped as a draft until it is signed, then carries signer and day, and is stamped again once replaced", async () => {
    const before = textOf((await page()).path);
    expect(before).toContain("DRAFT, not signed: do not work from this.");
    const { body } = await service.vet.get(`/prescriptions/${planId}`);
    const signed = await service.vet.send(
      "post",
      `/prescriptions/${planId}/signature`,
      {
        readBack: { filmOpened: true, targetsConfirmed: true },
        overrides: body.findings
          .filter((one: { outcome: string }) => one.outcome === "warn")
          .map((one: { rule: string }) => ({ rule: one.rule, reason: "seen on the horse" })),
      },
      body.version,
    );
    expect(signed.status, signed.text).toBe(200);
    const after = close(textOf((await page()).path));
    expect(after).toContain("Signed by Vera Vet, 14 Oct 2026, 07:10. Plan in force.");
    expect(after).not.toContain("DRAFT");
    expect(after).toContain("latest 2026-11-11");
    await service.query(
      "UPDATE prescriptions SET status = 'superseded', superseded_at = now() WHERE id = $1",
      [planId],
    );
    const replaced = close(textOf((await page()).path));
    expect(replaced).toContain("REPLACED by a newer plan: do not work from this.");
  });

  it("is not for the yard or the owner, and nobody finds a plan of another horse", async () => {
    for (const person of [service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get(`/prescriptions/${planId}/page.pdf`)).status).toBe(403);
    const nowhere = await service.vet.get(
      "/prescriptions/0199e000-0000-7000-8000-000000000001/page.pdf",
    );
    expect(nowhere.status).toBe(404);
    expect((await service.vet.get(`/prescriptions/${planId}/page.pdf?paper=A3`)).status).toBe(400);
  });
});
