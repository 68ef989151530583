import type { ShoeingRecord } from "@heelward/contracts";
import { CircleCheck, OctagonX, SearchX, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useParam } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { Facts, Rows } from "../../components/data-list.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useDeviceNames } from "../../parts/planner-figures.ts";
import { useDocuments, useHorse, useShoeingRecords } from "./queries.ts";
import styles from "./shoeing.module.css";

type Row = ShoeingRecord["comparison"][number];

/** A phone's clock further out than this is told. House rule. */
const CLOCK_TOLD_MS = 2 * 60_000;

const PlanBesideDone = ({ record }: { readonly record: ShoeingRecord }) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const format = useFormat();
  const unit = (row: Row) => (row.unit === "mm" ? " mm" : "°");
  const say = (row: Row, value: Row["planned"] | null) => {
    if (value === null) return "–";
    const text =
      typeof value === "number"
        ? format.number(value)
        : `${format.number(value.low)}–${format.number(value.high)}`;
    return `${text}${unit(row)}`;
  };
  return (
    <Rows
      label={t("comparison")}
      rows={record.comparison}
      keyOf={(row) => row.foot + row.quantity}
      columns={[
        {
          key: "what",
          label: t("what"),
          hideLabelOnPhone: true,
          cell: (row) => (
            <strong>
              {row.foot} ·{" "}
              {t(`quantity.${row.quantity as "breakover"}`, { defaultValue: row.quantity })}
            </strong>
          ),
        },
        { key: "planned", label: t("plannedHead"), cell: (row) => say(row, row.planned) },
        { key: "done", label: t("doneHead"), cell: (row) => say(row, row.done) },
        {
          key: "difference",
          label: t("difference"),
          cell: (row) =>
            row.difference === null
              ? "–"
              : `${row.difference > 0 ? "+" : ""}${say(row, row.difference)} (± ${format.number(row.tolerance)})`,
        },
        {
          key: "within",
          label: "",
          cell: (row) => (
            <Badge
              tone={row.within ? "fine" : "today"}
              icon={row.within ? <CircleCheck aria-hidden /> : <TriangleAlert aria-hidden />}
            >
              {row.within ? t("within") : t("beyond")}
            </Badge>
          ),
        },
      ]}
    />
  );
};

const Done = ({ record }: { readonly record: ShoeingRecord }) => {
  const { t } = useTranslation(["shoeing", "common"]);
  const format = useFormat();
  const documents = useDocuments(record.horseId);
  const voices = new Set(
    documents.data?.items.flatMap((one) => (one.kind === "voice note" ? [one.id] : [])),
  );
  const device = useDeviceNames();
  const sore = (comfort: ShoeingRecord["comfortBefore"]) =>
    comfort?.obelGrade === undefined
      ? t("common:notAsked")
      : t(`sore.${String(comfort.obelGrade) as "0"}`);
  return (
    <div className="stack">
      {record.wedgeRemoval === null ? null : (
        <p className={styles["alarm"]} role="alert">
          <OctagonX aria-hidden /> {record.wedgeRemoval}
        </p>
      )}
      {record.comparison.length === 0 ? null : (
        <Card title={t("comparison")} isFlush>
          <PlanBesideDone record={record} />
        </Card>
      )}
      {record.deviations.length === 0 ? null : (
        <Card title={t("departures")}>
          <div className="stack-tight">
            <ul>
              {record.deviations.map((one) => (
                <li key={one}>{one}</li>
              ))}
            </ul>
            {record.departures === null ? null : (
              <p>
                <strong>{t("reasonGiven")}</strong> {record.departures}
              </p>
            )}
          </div>
        </Card>
      )}
      <div className={styles["feet"]}>
        {record.feet.map((foot) => (
          <Card key={foot.foot} title={t(`common:foot.${foot.foot}`)}>
            <Facts
              items={[
                [
                  t("breakoverP3"),
                  foot.breakoverBeforeMm === null
                    ? `${format.number(foot.breakoverAfterMm)} mm`
                    : `${format.number(foot.breakoverBeforeMm)} → ${format.number(foot.breakoverAfterMm)} mm`,
                ],
                [t("heelOff"), `${format.number(foot.heelRemovedMm)} mm`],
                [t("shoe"), device.shoe(foot.shoe)],
                [t("fill"), device.fill(foot.supportFill)],
                [t("fixing"), device.fixing(foot.fixing)],
                ...(foot.wedgeDegrees > 0
                  ? [[t("wedge"), `${format.number(foot.wedgeDegrees)}°`] as const]
                  : []),
                ...(foot.soleTouched ? [[t("sole"), t("soleTouched")] as const] : []),
                ...(foot.newGrowthLineMm === null
                  ? []
                  : [[t("newGrowth"), `${format.number(foot.newGrowthLineMm)} mm`] as const]),
                ...(foot.notes === null ? [] : [[t("footNotes"), foot.notes] as const]),
              ]}
            />
          </Card>
        ))}
      </div>
      <Card title={t("comfort")}>
        <Facts
          items={[
            [t("before"), sore(record.comfortBefore)],
            [t("after"), sore(record.comfortAfter)],
            [
              t("nextOn"),
              record.nextResetOn === null ? t("notBooked") : format.date(record.nextResetOn),
            ],
            [t("received"), format.dateTime(record.receivedAt)],
            ...(record.cameLate === null
              ? []
              : [
                  [
                    t("cameLate"),
                    Math.abs(record.cameLate.clockOffsetMs) < CLOCK_TOLD_MS
                      ? t("cameLateClock")
                      : t("cameLateWrong", {
                          minutes: Math.round(Math.abs(record.cameLate.clockOffsetMs) / 60_000),
                          said: format.dateTime(record.cameLate.deviceAt),
                        }),
                  ] as const,
                ]),
            ...(record.byReplacedPlan ? [[t("replaced"), t("replacedText")] as const] : []),
            ...(record.notes === null ? [] : [[t("notes"), record.notes] as const]),
          ]}
        />
      </Card>
      {record.photoIds.length === 0 ? null : (
        <Card title={t("photos")}>
          <div className={styles["photos"]}>
            {record.photoIds.map((documentId, index) =>
              voices.has(documentId) ? (
                // A person's own spoken words: there is no text of them to caption with.
                // oxlint-disable-next-line jsx-a11y/media-has-caption
                <audio
                  key={documentId}
                  controls
                  preload="metadata"
                  aria-label={t("spoken")}
                  src={addressOf("readDocumentContent", { params: { documentId } })}
                />
              ) : (
                <img
                  key={documentId}
                  src={addressOf("readDocumentContent", { params: { documentId } })}
                  alt={t("photo", { number: index + 1 })}
                />
              ),
            )}
          </div>
        </Card>
      )}
    </div>
  );
};

/** One visit: what was planned, what was done, and how the horse stood. */
export const RecordPage = () => {
  const { t } = useTranslation("shoeing");
  const horseId = useParam("horseId");
  const recordId = useParam("recordId");
  const records = useShoeingRecords(horseId);
  const horse = useHorse(horseId);
  const format = useFormat();
  return (
    <QueryView query={records} lines={8}>
      {({ items }) => {
        const record = items.find((one) => one.id === recordId);
        if (record === undefined)
          return <EmptyState icon={<SearchX aria-hidden />} title={t("noSuchRecord")} />;
        return (
          <>
            <PageHeader
              title={t("recordTitle", { horse: horse.data?.name ?? "" })}
              lead={[
                format.dateTime(record.doneAt),
                record.farrier.name,
                record.prescriptionNumber === null
                  ? undefined
                  : t("byPlan", { number: record.prescriptionNumber }),
              ]
                .filter((one) => one !== undefined)
                .join(" · ")}
              back={{ href: `/shoeing/${horseId}`, label: t("allRecords") }}
              beside={
                <Badge
                  tone={record.asPlanned ? "fine" : "today"}
                  icon={
                    record.asPlanned ? <CircleCheck aria-hidden /> : <TriangleAlert aria-hidden />
                  }
                >
                  {record.asPlanned ? t("wasAsPlanned") : t("wasDifferent")}
                </Badge>
              }
            />
            <Done record={record} />
          </>
        );
      }}
    </QueryView>
  );
};
