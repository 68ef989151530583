import { addDays } from "@heelward/domain/time";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { ChoiceField, SelectField, TextArea } from "../../components/field.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { instantOf } from "../../language/wall-clock.ts";
import { usePeopleOf } from "../../parts/people.ts";
import type { AsDoneDraft } from "./as-done.ts";

const MORNING = "09:00";

/** The next date before leaving, or why there is none and who finds one. */
export const NextReset = ({
  draft,
  intervalDays,
  timeZone,
  onChange,
}: {
  readonly draft: AsDoneDraft;
  readonly intervalDays: number;
  readonly timeZone: string;
  readonly onChange: (change: Partial<AsDoneDraft>) => void;
}) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const format = useFormat(timeZone);
  const managers = usePeopleOf("manager");
  const farriers = usePeopleOf("farrier");
  const people = [...managers, ...farriers].filter(
    (one, index, all) => all.findIndex((other) => other.id === one.id) === index,
  );
  const today = todayIn(timeZone);
  const offers = [...new Set([intervalDays - 7, intervalDays - 1, intervalDays])].filter(
    (days) => days > 0,
  );
  return (
    <div className="stack">
      <ChoiceField
        label={t("nextQuestion", { count: intervalDays })}
        name="nextReset"
        value={draft.next}
        onChange={(next) => onChange({ next })}
        options={[
          { value: "date", label: t("nextDate") },
          { value: "none", label: t("nextNone") },
        ]}
      />
      {draft.next === "date" ? (
        <>
          <div className="row">
            {offers.map((days) => {
              const on = addDays(today, days);
              return (
                <Button
                  key={days}
                  size="large"
                  data-offer={days}
                  aria-pressed={draft.bookedFor === instantOf(`${on}T${MORNING}`, timeZone)}
                  onClick={() => onChange({ bookedFor: instantOf(`${on}T${MORNING}`, timeZone) })}
                >
                  {format.shortDate(on)}
                </Button>
              );
            })}
          </div>
          <MomentField
            label={t("nextAt")}
            name="nextReset/bookedFor"
            timeZone={timeZone}
            value={draft.bookedFor}
            onChange={(bookedFor) => onChange({ bookedFor })}
          />
        </>
      ) : null}
      {draft.next === "none" ? (
        <>
          <TextArea
            label={t("noDateReason")}
            name="nextReset/noDateReason"
            required
            maxLength={500}
            value={draft.noDateReason}
            onChange={(noDateReason) => onChange({ noDateReason })}
          />
          <SelectField
            label={t("personToBook")}
            name="nextReset/personToBook"
            required
            emptyLabel={t("common:chooseFirst")}
            value={draft.personToBook}
            onChange={(personToBook) => onChange({ personToBook })}
            options={people.map((one) => ({ value: one.id, label: one.name }))}
          />
        </>
      ) : null}
    </div>
  );
};
