import type { DayRouteProblem } from "../src/day/day-route-types.ts";
import type { ModelSolver } from "./load-highs.ts";

/** A day without breaks, orders or yards kept together, as text in LP format. Two-index model with big-M times; source: Desrochers & Laporte 1991, OR Letters 10:27–36. */
const dayModel = (problem: DayRouteProblem): string => {
  const { stops, drive: table } = problem;
  const between = (from: string, to: string): number =>
    table.seconds[table.placeIds.indexOf(from)]![table.placeIds.indexOf(to)]!;
  const nodes = ["s", ...stops.map((_, i) => String(i)), "e"];
  const placeOf = (node: string): string =>
    node === "s"
      ? problem.startPlaceId
      : node === "e"
        ? problem.endPlaceId
        : stops[Number(node)]!.placeId;
  const day = (problem.endMs - problem.startMs) / 1000;
  const objective: string[] = [];
  const rules: string[] = [];
  const binary: string[] = [];
  const out = new Map<string, string[]>();
  const into = new Map<string, string[]>();
  for (const a of nodes)
    for (const b of nodes) {
      if (a === b || a === "e" || b === "s" || (a === "s" && b === "e")) continue;
      const x = `x_${a}_${b}`;
      const drive = between(placeOf(a), placeOf(b));
      const service = a === "s" ? 0 : stops[Number(a)]!.serviceMinutes * 60;
      objective.push(`${drive} ${x}`);
      binary.push(x);
      out.set(a, [...(out.get(a) ?? []), x]);
      into.set(b, [...(into.get(b) ?? []), x]);
      const bigM = day + service + drive;
      rules.push(`t_${b} - t_${a} - ${bigM} ${x} >= ${service + drive - bigM}`);
    }
  for (const node of nodes) {
    if (node !== "e") rules.push(`${out.get(node)!.join(" + ")} = 1`);
    if (node !== "s") rules.push(`${into.get(node)!.join(" + ")} = 1`);
  }
  const bounds = ["t_s = 0", `0 <= t_e <= ${day}`];
  stops.forEach((stop, i) => {
    const openS = stop.window === undefined ? 0 : (stop.window.openMs - problem.startMs) / 1000;
    const closeS =
      stop.window === undefined
        ? day
        : Math.min(day, (stop.window.closeMs - problem.startMs) / 1000);
    bounds.push(`${openS} <= t_${i} <= ${closeS}`);
  });
  return `Minimize\n obj: ${objective.join(" + ")}\nSubject To\n${rules
    .map((rule, index) => ` c${index}: ${rule}`)
    .join("\n")}\nBounds\n ${bounds.join("\n ")}\nBinary\n ${binary.join(" ")}\nEnd`;
};

/** Least driving by the general solver, whole seconds; Infinity when no order works. */
export const solveDayModel = (highs: ModelSolver, problem: DayRouteProblem): number => {
  const solution = highs.solve(dayModel(problem), {
    mip_rel_gap: 0,
    mip_abs_gap: 0.5,
    mip_feasibility_tolerance: 1e-9,
  });
  return solution.Status === "Optimal" ? Math.round(solution.ObjectiveValue) : Infinity;
};
