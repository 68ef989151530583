import type { drawFilmOutline, FilmOutline } from "@heelward/contracts";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import { measureLucentLine, type Scale } from "@heelward/domain/geometry";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { findOutlines } from "./outline-store.ts";
import { filmFigures } from "./reading-figures.ts";
import { findRow } from "./service.ts";
import * as store from "./store.ts";
import { scaleOf, viewMeasurement } from "./view.ts";

type NewOutline = z.output<NonNullable<typeof drawFilmOutline.body>>;

/** How far beyond the film's own edge a point may lie, in pixels: a finger slips, a file does not. */
const MARGIN_PX = 50;

const view = ({
  horseId: _horse,
  caseId: _case,
  ...row
}: Awaited<ReturnType<typeof findOutlines>>[number]): FilmOutline => ({
  ...row,
  drawnAt: row.drawnAt.toISOString(),
});

export const list = async (work: Work, radiographId: string): Promise<{ items: FilmOutline[] }> => {
  await findRow(work, radiographId);
  return { items: (await findOutlines(work.tx, { radiographId })).map(view) };
};

/** One drawing that stands. @throws Problem when it does not. */
export const standing = async (work: Work, id: string) => {
  const [row] = await findOutlines(work.tx, { id });
  if (row === undefined) throw notFound("drawing");
  return row;
};

const assertMayDraw = (work: Work, kind: FilmOutline["kind"]): void => {
  if (kind === "lucent line" && !hasRole(work.actor, "vet"))
    throw new Problem("forbidden", "The outline of a dark shadow under the wall is for a vet.", {
      requiredRoles: ["vet"],
    });
};

/** Extent of an outlined shadow, by the wall line and scale of the film's latest marks. */
const measureShadow = async (work: Work, row: store.RadiographRow, input: NewOutline) => {
  if (row.view !== "lateromedial")
    throw badField("/kind", "a dark shadow under the dorsal wall is outlined on a side view");
  const [set] = await store.findLandmarkSets(work.tx, {
    radiographIds: [row.id],
    latestOnly: true,
  });
  const { coronaryBand, wallDistal, markerStart, markerEnd } = set?.points ?? {};
  if (set === undefined || coronaryBand === undefined || wallDistal === undefined)
    throw new Problem(
      "conflict",
      "Mark the wall line of this film first; extent is measured along it.",
    );
  const result = measureLucentLine({
    outline: input.points,
    coronaryBand,
    wallDistal,
    markerStart,
    markerEnd,
    scale: defined(scaleOf(row)) as Scale,
    landmarkSpread: (await filmFigures(work)).landmarkSpread,
  });
  if (!isAllowed(result.findings))
    throw ruleViolated(
      result.findings.find((finding) => finding.outcome === "block")?.detail ??
        "This outline cannot be measured.",
      result.findings,
    );
  return { ...result, landmarkSetId: set.id };
};

/** Keeps a drawing; an earlier one it replaces stays in the record but no longer stands. */
export const draw = async (
  work: Work,
  radiographId: string,
  input: NewOutline,
): Promise<FilmOutline> => {
  const { tx, actor, nowMs } = work;
  if ((await store.lockRadiograph(tx, radiographId)) === null) throw notFound("film");
  const row = await findRow(work, radiographId);
  await cases.readOpen(work, row.caseId);
  assertMayDraw(work, input.kind);
  const outside = input.points.findIndex(
    ({ x, y }) =>
      x < -MARGIN_PX ||
      y < -MARGIN_PX ||
      x > row.widthPx + MARGIN_PX ||
      y > row.heightPx + MARGIN_PX,
  );
  if (outside !== -1) throw badField(`/points/${outside}`, "lies outside the film");
  if (input.replacesId !== undefined) {
    const [before] = await findOutlines(tx, { id: input.replacesId, radiographId });
    if (before === undefined || before.kind !== input.kind)
      throw badField("/replacesId", "is no standing drawing of this kind on this film");
  }
  const shadow = input.kind === "lucent line" ? await measureShadow(work, row, input) : null;
  const findings: readonly Finding[] = shadow?.findings ?? [];
  const id = newId();
  await tx.filmOutline.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: row.horseId,
      radiographId,
      kind: input.kind,
      points: input.points,
      label: input.label ?? null,
      replacesId: input.replacesId ?? null,
      landmarkSetId: shadow?.landmarkSetId ?? null,
      measurements: JSON.parse(
        JSON.stringify((shadow?.measurements ?? []).map(viewMeasurement)),
      ) as object[],
      areaMm2: shadow?.areaMm2?.value ?? null,
      areaStandardUncertaintyMm2: shadow?.areaMm2?.standardUncertainty ?? null,
      findings: JSON.parse(JSON.stringify(findings)) as object[],
      drawnBy: actor.personId,
      drawnAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "film.drawn-on",
    subjectType: "radiograph",
    subjectId: radiographId,
    horseId: row.horseId,
    payload: { outlineId: id, ...input },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "film",
    title: `Drawn on the film of ${row.foot}: ${input.kind}`,
    detail: input.label ?? null,
    refType: "radiograph",
    refId: radiographId,
  });
  work.announce("queue");
  return view(await standing(work, id));
};

/** Takes a drawing off the film by a row that replaces it with nothing. */
export const remove = async (work: Work, id: string): Promise<null> => {
  const { tx, actor, nowMs } = work;
  const row = await standing(work, id);
  await store.lockRadiograph(tx, row.radiographId);
  await standing(work, id);
  await cases.readOpen(work, row.caseId);
  assertMayDraw(work, row.kind);
  await tx.filmOutline.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      horseId: row.horseId,
      radiographId: row.radiographId,
      kind: row.kind,
      points: [],
      isRemoval: true,
      replacesId: id,
      drawnBy: actor.personId,
      drawnAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "film.drawing-removed",
    subjectType: "radiograph",
    subjectId: row.radiographId,
    horseId: row.horseId,
    payload: { outlineId: id },
  });
  work.announce("queue");
  return null;
};
