import { Bell, Footprints, PenLine, Stethoscope } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { ProblemError } from "../api/problem-error.ts";
import { Badge, DueBadge, PhasePill, UrgencyBadge } from "../components/badges.tsx";
import { Button, IconButton } from "../components/button.tsx";
import { Card } from "../components/card.tsx";
import { Facts } from "../components/data-list.tsx";
import { Dialog } from "../components/dialog.tsx";
import {
  CheckField,
  ChoiceField,
  NumberField,
  SelectField,
  TextArea,
  TextField,
} from "../components/field.tsx";
import { Findings } from "../components/findings.tsx";
import { FeetPicker, FeetShown, type FootName } from "../components/foot-diagram.tsx";
import { FootLateral } from "../components/foot-lateral.tsx";
import { FootSolar } from "../components/foot-solar.tsx";
import { LineChart } from "../components/line-chart.tsx";
import { MeasureValue } from "../components/measure-value.tsx";
import { PageHeader } from "../components/page-header.tsx";
import { Picker } from "../components/picker.tsx";
import { EmptyState, ErrorState, Skeleton } from "../components/states.tsx";
import { Tabs } from "../components/tabs.tsx";
import { Term } from "../components/term.tsx";
import { Timeline } from "../components/timeline.tsx";

const SOURCE = { id: "example", citation: "An example, not a rule", status: "house rule" };
const OUTCOMES = ["block", "warn", "note", "pass"] as const;
const CHOICES = [
  { id: "1", name: "Marl Hopper", detail: "Ouzel Strand Stables" },
  { id: "2", name: "Thimble", detail: "Sallowfield Yard" },
];

const Inputs = () => {
  const [text, setText] = useState("");
  const [choice, setChoice] = useState<"yes" | "no" | "unknown">("unknown");
  const [isOn, setOn] = useState(true);
  const [picked, setPicked] = useState<string | null>(null);
  const [select, setSelect] = useState<"LF" | "RF" | "">("");
  return (
    <div className="columns">
      <TextField label="Name" value={text} onChange={setText} isOptional />
      <NumberField label="Girth" unit="cm" value="172" onChange={setText} hint="Breath out." />
      <TextField label="Weight" value="2 000" onChange={setText} error="Between 20 and 1500 kg." />
      <SelectField
        label="Foot"
        value={select}
        onChange={setSelect}
        emptyLabel="Choose…"
        options={[
          { value: "LF", label: "Left fore" },
          { value: "RF", label: "Right fore" },
        ]}
      />
      <ChoiceField
        label="Can it get up?"
        value={choice}
        onChange={setChoice}
        options={[
          { value: "yes", label: "Yes" },
          { value: "no", label: "No" },
          { value: "unknown", label: "Not known" },
        ]}
      />
      <CheckField label="Nerve block, vet present" value={isOn} onChange={setOn} />
      <Picker
        label="Horse"
        choices={CHOICES}
        value={picked}
        onChoose={(one) => setPicked(one?.id ?? null)}
        onSearch={setText}
      />
      <TextArea label="Notes" value={text} onChange={setText} />
    </div>
  );
};

const Feet = () => {
  const [feet, setFeet] = useState<readonly FootName[]>(["LF", "RF"]);
  return (
    <div className="columns">
      <FeetPicker label="Feet affected" value={feet} onChange={setFeet} />
      <FootSolar foot="LF" breakoverFromFrogTipMm={28} withLabels />
      <FootSolar foot="LH" withLabels />
      <FootLateral
        figures={{
          soleTipMm: 11.5,
          palmarAngleDegrees: 9,
          breakoverMm: 14.5,
          wallToBoneMm: 18.2,
          founderMm: 9.5,
        }}
      />
      <p>
        <FeetShown feet={feet} />
      </p>
    </div>
  );
};

/** All components in one place, for developers. */
export const ComponentsPage = () => {
  const { t } = useTranslation("components");
  const [tab, setTab] = useState("one");
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <PageHeader title={t("title")} lead={t("lead")} />
      <div className="stack">
        <Card title={t("buttons")}>
          <div className="row">
            <Button look="primary" icon={<PenLine aria-hidden />}>
              Sign the plan
            </Button>
            <Button>Plain</Button>
            <Button look="quiet">Quiet</Button>
            <Button look="danger">Close the case</Button>
            <Button isBusy>Busy</Button>
            <Button size="large">Large</Button>
            <IconButton label="Notify" icon={<Bell aria-hidden />} />
          </div>
        </Card>
        <Card title={t("badges")}>
          <div className="row">
            {(["acute", "subacute", "chronic active", "maintenance", "closed"] as const).map(
              (phase) => (
                <PhasePill key={phase} phase={phase} />
              ),
            )}
            {(["now", "today", "soon", "later"] as const).map((urgency) => (
              <UrgencyBadge key={urgency} urgency={urgency} />
            ))}
            <DueBadge state="red" daysLate={13} />
            <DueBadge state="amber" daysLate={2} />
            <DueBadge state="due" daysLate={0} />
            <DueBadge state="due soon" daysLate={-5} />
            <DueBadge state="booked" daysLate={-5} />
            <Badge>Plain</Badge>
          </div>
        </Card>
        <div className="columns">
          <Card title={t("findings")}>
            <Findings
              findings={OUTCOMES.map((outcome) => ({
                rule: `example/${outcome}@1`,
                outcome,
                detail: "One plain sentence with the figures that decided it.",
                source: SOURCE,
              }))}
            />
          </Card>
          <Card title={t("measures")}>
            <Facts
              items={[
                [
                  <Term key="t" word="palmarAngle" />,
                  <MeasureValue key="v" value={9} uncertainty={1.4} unit="°" verdict="outside" />,
                ],
                [
                  <Term key="t" word="soleDepth" />,
                  <MeasureValue
                    key="v"
                    value={15.2}
                    uncertainty={1.8}
                    unit="mm"
                    verdict="inside"
                  />,
                ],
                [
                  <Term key="t" word="founderDistance" />,
                  <MeasureValue key="v" value={9.5} unit="mm" verdict="no reference" />,
                ],
                [
                  <Term key="t" word="wallToBone" />,
                  <MeasureValue key="v" value={null} unit="mm" />,
                ],
              ]}
            />
          </Card>
        </div>
        <Card title={t("fields")}>
          <Inputs />
        </Card>
        <Card title={t("feet")}>
          <Feet />
        </Card>
        <Card title={t("charts")}>
          <LineChart
            title="Sole depth"
            unit="mm"
            target={{ low: 15, high: 20 }}
            points={[
              { on: "2026-05-04", value: 11.5, low: 9.7, high: 13.3 },
              { on: "2026-06-19", value: 12.8, low: 11, high: 14.6 },
              { on: "2026-08-03", value: 14.1, low: 12.3, high: 15.9 },
              { on: "2026-10-05", value: 15.6, low: 13.8, high: 17.4 },
            ]}
            marks={[
              { on: "2026-05-08", label: "Trim, breakover set back" },
              { on: "2026-07-01", label: "Bar shoe with sole support" },
            ]}
          />
        </Card>
        <div className="columns">
          <Card title={t("timeline")}>
            <Timeline
              items={[
                {
                  id: "2",
                  at: "2026-10-14T06:55:00+01:00",
                  title: "Yard check: five-sign score 4 of 12",
                  detail: "It was 3 yesterday.",
                  who: "Ferdia Lowmoor",
                  icon: <Stethoscope />,
                },
                {
                  id: "1",
                  at: "2026-09-03T10:10:00+01:00",
                  title: "Reset done as planned",
                  who: "Dervil Oxtarn",
                  icon: <Footprints />,
                },
              ]}
            />
          </Card>
          <Card title={t("states")}>
            <div className="stack">
              <ErrorState
                error={
                  new ProblemError({
                    type: "rule-violated",
                    title: "A rule of care forbids this",
                    status: 422,
                    detail: "15.3 mg/kg in 24 hours is 347 % of the limit.",
                    instance: "",
                    next: "Read the findings.",
                  })
                }
              />
              <EmptyState icon={<Footprints aria-hidden />} title="No resets due">
                The next one is in nine days.
              </EmptyState>
              <Skeleton />
            </div>
          </Card>
        </div>
        <Card title={t("tabs")}>
          <Tabs
            label={t("tabs")}
            selected={tab}
            onSelect={setTab}
            items={[
              { id: "one", label: "Overview", content: <p>The first.</p> },
              { id: "two", label: "Films", count: 4, content: <p>The second.</p> },
            ]}
          />
        </Card>
        <Card title={t("dialog")}>
          <Button onClick={() => setOpen(true)}>{t("openDialog")}</Button>
          <Dialog title={t("dialog")} isOpen={isOpen} onClose={() => setOpen(false)}>
            <p>Escape closes it.</p>
          </Dialog>
        </Card>
      </div>
    </>
  );
};
