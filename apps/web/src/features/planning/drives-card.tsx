import { useQuery } from "@tanstack/react-query";
import { useTranslation } from "react-i18next";
import { read } from "../../api/use-call.ts";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";

/** What the practice's own drives say about its roads; the clinical lead sets the figure. */
export const DrivesCard = () => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  const { data } = useQuery(read("readDriveCalibration", {}));
  if (data === undefined) return null;
  return (
    <Card title={t("drivesCard")}>
      <div className="stack">
        <Facts
          items={[
            [t("circuity"), format.number(data.circuity, 2)],
            [t("speed"), `${format.number(data.speedKmh, 1)} km/h`],
            ...(data.typicalErrorShare === null
              ? []
              : [
                  [
                    t("typicalError"),
                    `${format.number(data.typicalErrorShare * 100, 0)} %`,
                  ] as const,
                ]),
          ]}
        />
        <p className="quiet">
          {data.basis === "trips"
            ? t("drivesTrips", { count: data.tripsUsed })
            : t("drivesDefault")}{" "}
          <Link href="/settings?q=routing">{t("toSettings")}</Link>
        </p>
      </div>
    </Card>
  );
};
