import type { Finding } from "../../evidence/index.ts";
import { bandUnits } from "../build-course.ts";
import { found, mgText } from "../finding.ts";
import { RULE } from "../formulary/sources.ts";
import type { CourseFacts } from "./facts.ts";

/** The product itself: sold here, by this route, at this place, for this weight. */
export const productFindings = (facts: CourseFacts): readonly Finding[] => {
  const { request, context, drug, presentation, plan } = facts;
  const findings: Finding[] = [];
  if (!presentation.jurisdictions.includes(context.jurisdiction))
    findings.push(
      found(
        "not-sold-here",
        "block",
        `${presentation.name} is not in the formulary for ${context.jurisdiction}.`,
        presentation.source,
        "/presentationKey",
      ),
    );
  if (!presentation.routes.includes(request.route))
    findings.push(
      found(
        "route",
        "block",
        `${presentation.name} is not given by this route (${request.route}).`,
        presentation.source,
        "/route",
      ),
    );
  if (drug.hospitalOnly && context.place !== "hospital")
    findings.push(
      found(
        "hospital-only",
        "block",
        `${drug.name} is for a hospital only and cannot be planned at a yard.`,
        RULE.hospitalOnly,
        "/drugKey",
      ),
    );
  if (request.route === "intravenous")
    findings.push(
      found(
        "vein-by-vet",
        "note",
        "Into the vein: given by a vet in person only.",
        RULE.hospitalOnly,
      ),
    );
  if (!drug.licensedIn.includes(context.jurisdiction))
    findings.push(
      found(
        "off-label",
        "note",
        `${drug.name} has no licence for horses in ${context.jurisdiction}: record the reason and the owner's consent.`,
        presentation.source,
      ),
    );
  const weightKg = plan.weight?.weightKg;
  const range = presentation.weightRangeKg;
  if (weightKg !== undefined && range !== undefined && (weightKg < range[0] || weightKg > range[1]))
    findings.push(
      found(
        "weight-range",
        "block",
        `${presentation.name} is for ${range[0].toFixed(0)}-${range[1].toFixed(0)} kg; this animal is ${weightKg.toFixed(0)} kg.`,
        presentation.source,
        "/presentationKey",
      ),
    );
  if (
    weightKg !== undefined &&
    drug.bands.some(
      (band) =>
        band.presentationKey === presentation.key &&
        band.jurisdictions.includes(context.jurisdiction),
    )
  ) {
    const units = bandUnits(drug, presentation.key, weightKg);
    const wanted = units === undefined ? undefined : units * presentation.mgPerUnit;
    if (wanted === undefined)
      findings.push(
        found(
          "label-band",
          "note",
          `${weightKg.toFixed(0)} kg lies outside the bands printed on the label: the vet decides.`,
          presentation.source,
        ),
      );
    else if (plan.steps.some((step) => Math.abs(step.doseMg - wanted) > 1e-9))
      findings.push(
        found(
          "label-band",
          "note",
          `The label's table gives ${mgText(wanted)} at ${weightKg.toFixed(0)} kg as the starting dose.`,
          presentation.source,
        ),
      );
  }
  return [...findings, ...plan.findings];
};
