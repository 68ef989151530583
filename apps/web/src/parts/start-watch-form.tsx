import { supportLimbWatch } from "@heelward/domain/cases";
import { FEET, type Foot } from "@heelward/domain/examination";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../api/use-call.ts";
import { Button } from "../components/button.tsx";
import { ChoiceField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";

type Grade = "4" | "5";

/** Which leg is hurt, and why: a cast, or the lameness. Names the foot that will be watched. */
export const StartWatchForm = ({
  horseId,
  lamenessGrade,
  onDone,
  onLeave,
}: {
  readonly horseId: string;
  /** The grade just examined; asked where none is given. */
  readonly lamenessGrade?: number | undefined;
  readonly onDone: () => void;
  readonly onLeave: () => void;
}) => {
  const { t } = useTranslation(["watches", "common"]);
  const start = useWrite("startLimbWatch");
  const [hurt, setHurt] = useState<Foot | "">("");
  const [why, setWhy] = useState<"cast" | "lame">(lamenessGrade === undefined ? "cast" : "lame");
  const [grade, setGrade] = useState<Grade>("4");
  const watched =
    hurt === ""
      ? undefined
      : supportLimbWatch({ injuredFoot: hurt, inCast: true, since: "2000-01-01" })?.watchFoot;
  return (
    <Form
      problem={start.error}
      onSubmit={() =>
        hurt === ""
          ? undefined
          : start.mutate(
              {
                params: { horseId },
                body: {
                  hurtLimb: hurt,
                  inCast: why === "cast",
                  ...(why === "lame" ? { lamenessGrade: lamenessGrade ?? Number(grade) } : {}),
                },
              },
              { onSuccess: onDone },
            )
      }
      footer={
        <>
          <Button look="primary" type="submit" disabled={hurt === ""} isBusy={start.isPending}>
            {t("save")}
          </Button>
          <Button look="quiet" onClick={onLeave}>
            {t("notNow")}
          </Button>
        </>
      }
    >
      <ChoiceField
        label={t("hurt")}
        name="hurtLimb"
        value={hurt}
        onChange={setHurt}
        options={FEET.map((foot) => ({ value: foot, label: t(`common:foot.${foot}`) }))}
      />
      {lamenessGrade === undefined ? (
        <>
          <ChoiceField
            label={t("why")}
            name="inCast"
            value={why}
            onChange={setWhy}
            options={[
              { value: "cast", label: t("cast") },
              { value: "lame", label: t("lame") },
            ]}
          />
          {why === "lame" ? (
            <ChoiceField
              label={t("grade")}
              name="lamenessGrade"
              value={grade}
              onChange={setGrade}
              options={(["4", "5"] as const).map((value) => ({
                value,
                label: t(`gradeWords.${value}`),
              }))}
            />
          ) : null}
        </>
      ) : null}
      <p aria-live="polite">
        {watched === undefined
          ? t("chooseLeg")
          : t("willWatch", { foot: t(`common:foot.${watched}`) })}
      </p>
    </Form>
  );
};
