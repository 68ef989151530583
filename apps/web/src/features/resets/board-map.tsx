import type { Reset } from "@heelward/contracts";
import { CalendarX, MapPinOff, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import { EmptyState } from "../../components/states.tsx";
import { plainMap } from "../../parts/plain-map.ts";
import { useYards } from "../../parts/yards.ts";
import { isBooked, isLate } from "./board.ts";
import styles from "./board-map.module.css";

const FRAME = { width: 640, height: 460, edge: 64 };

/** The most pressing first. */
const LOOKS = ["red", "amber", "unbooked", "calm"] as const;

const lookOf = (resets: readonly Reset[]): (typeof LOOKS)[number] => {
  if (resets.some((reset) => reset.state === "red")) return "red";
  if (resets.some(isLate)) return "amber";
  return resets.some((reset) => !isBooked(reset) && reset.state !== "paused") ? "unbooked" : "calm";
};

/** The board's yards where they lie, each with its resets; no tiles, works without a network. */
export const BoardMap = ({ resets }: { readonly resets: readonly Reset[] }) => {
  const { t } = useTranslation("resets");
  const { set } = useSearchState();
  const known = useYards();
  const yards = known
    .map((yard) => ({ yard, here: resets.filter((reset) => reset.yard.id === yard.id) }))
    .filter(({ here }) => here.length > 0)
    .toSorted(
      (a, b) =>
        LOOKS.indexOf(lookOf(a.here)) - LOOKS.indexOf(lookOf(b.here)) ||
        b.here.length - a.here.length,
    );
  if (yards.length === 0)
    return <EmptyState icon={<MapPinOff aria-hidden />} title={t("mapNone")} />;
  const map = plainMap(
    yards.map(({ yard }) => yard),
    FRAME,
  );
  const show = (yardId: string) => set({ yard: yardId, view: "" });
  return (
    <div className={styles["layout"]}>
      <Card>
        <svg
          className={styles["map"]}
          viewBox={`0 0 ${String(FRAME.width)} ${String(FRAME.height)}`}
          role="img"
          aria-label={t("mapText", { count: yards.length })}
        >
          {yards.map(({ yard, here }, index) => {
            const place = map.places[index];
            if (place === undefined) return null;
            const isRight = place.x > FRAME.width * 0.62;
            const look = lookOf(here);
            return (
              <g key={yard.id}>
                <circle
                  className={classNames(styles["mark"], styles[look])}
                  cx={place.x}
                  cy={place.y}
                  r={16 + Math.min(10, here.length)}
                />
                <text className={styles["count"]} x={place.x} y={place.y + 6}>
                  {here.length}
                </text>
                <text
                  className={styles["name"]}
                  x={place.x + (isRight ? -32 : 32)}
                  y={place.y + 6}
                  textAnchor={isRight ? "end" : "start"}
                >
                  {yard.name}
                </text>
              </g>
            );
          })}
          <g className={styles["north"]} transform={`translate(${String(FRAME.width - 24)} 18)`}>
            <path d="M0 0l6 16-6-4-6 4z" />
            <text y="32">{t("mapNorth")}</text>
          </g>
          <g className={styles["scale"]} transform={`translate(16 ${String(FRAME.height - 14)})`}>
            <path d={`M0 -5V0H${String(map.scaleKm * map.pxPerKm)}V-5`} />
            <text x={(map.scaleKm * map.pxPerKm) / 2} y="-9">
              {t("mapScale", { km: map.scaleKm })}
            </text>
          </g>
        </svg>
      </Card>
      <ul className={styles["yards"]} aria-label={t("mapLead")}>
        {yards.map(({ yard, here }) => {
          const late = here.filter(isLate).length;
          const unbooked = here.filter(
            (reset) => !isBooked(reset) && reset.state !== "paused",
          ).length;
          return (
            <li key={yard.id}>
              <Card level={3} title={yard.name}>
                <div className="spread">
                  <div className="row">
                    <span>{t("mapCount", { count: here.length })}</span>
                    {late === 0 ? null : (
                      <Badge
                        tone={lookOf(here) === "red" ? "now" : "today"}
                        icon={<TriangleAlert aria-hidden />}
                      >
                        {t("mapLate", { count: late })}
                      </Badge>
                    )}
                    {unbooked === 0 ? null : (
                      <Badge icon={<CalendarX aria-hidden />}>
                        {t("mapUnbooked", { count: unbooked })}
                      </Badge>
                    )}
                  </div>
                  <Button look="quiet" onClick={() => show(yard.id)}>
                    {t("mapShow")}
                    <span className="only-read"> {yard.name}</span>
                  </Button>
                </div>
              </Card>
            </li>
          );
        })}
      </ul>
    </div>
  );
};
