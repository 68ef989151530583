import { todayIn, useFormat } from "../../../language/format.ts";
import { useHoofGrowth } from "../../../parts/planner-figures.ts";
import { type Prescription, usePlanBasis } from "../queries.ts";
import { ForecastCard } from "./forecast-card.tsx";

/** The feet of a plan until the next reset; nothing while their films or the horse's growth are not known. */
export const Forecasts = ({
  plan,
}: {
  readonly plan: Pick<
    Prescription,
    "caseId" | "horseId" | "feet" | "conditions" | "intervalDays" | "radiographIds"
  >;
}) => {
  const format = useFormat();
  const basis = usePlanBasis(plan);
  const growth = useHoofGrowth(plan.horseId);
  const { data } = growth;
  if (data === undefined) return null;
  return plan.feet.map((foot) => {
    const one = basis?.get(foot.foot);
    return one?.ok === true ? (
      <ForecastCard
        key={foot.foot}
        plan={foot}
        input={one.input}
        growth={data}
        intervalDays={plan.intervalDays}
        startOn={todayIn(format.timeZone)}
      />
    ) : null;
  });
};
