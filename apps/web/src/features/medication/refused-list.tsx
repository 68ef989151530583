import type { Horse } from "@heelward/contracts";
import { CircleCheckBig } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { Findings } from "../../components/findings.tsx";
import { ListView } from "../../components/list-view.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useAmount } from "./plan-view.tsx";
import { useRefused } from "./queries.ts";

const field = (request: unknown, name: string): unknown =>
  typeof request === "object" && request !== null
    ? (request as Readonly<Record<string, unknown>>)[name]
    : undefined;

/** The request in one line, from whichever of its figures are there. */
const useRequestLine = () => {
  const { t } = useTranslation("medication");
  const amount = useAmount();
  return (request: unknown): string => {
    const [dose, times, drug, asker, words] = [
      field(request, "doseMg"),
      field(request, "timesPerDay"),
      field(request, "drugKey"),
      field(request, "askedBy"),
      field(request, "words"),
    ];
    return [
      ...(typeof drug === "string" ? [drug] : []),
      ...(typeof dose === "number"
        ? [`${amount(dose)}${typeof times === "number" ? ` × ${String(times)}` : ""}`]
        : []),
      ...(typeof asker === "string" ? [`${t("askedBy")}: ${asker}`] : []),
      ...(typeof words === "string" ? [`“${words}”`] : []),
    ].join(" · ");
  };
};

/** What was asked for and refused, with the arithmetic that refused it. */
export const RefusedList = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const format = useFormat(horse.yard.timeZone);
  const lineOf = useRequestLine();
  const refused = useRefused(horse.id);
  return (
    <ListView
      query={refused}
      empty={
        <EmptyState icon={<CircleCheckBig aria-hidden />} title={t("noRefused")}>
          {t("noRefusedText")}
        </EmptyState>
      }
    >
      {(items) => (
        <div className="stack">
          {items.map((item) => (
            <Card
              key={item.id}
              level={3}
              title={t(`refusedKinds.${item.kind as "dose request"}`, { defaultValue: item.kind })}
            >
              <div className="stack-tight">
                <p>
                  <strong>{lineOf(item.request)}</strong>
                </p>
                <p className="quiet small">
                  {format.dateTime(item.requestedAt)} · {item.requestedBy.name}
                </p>
                <Findings findings={item.findings} />
              </div>
            </Card>
          ))}
        </div>
      )}
    </ListView>
  );
};
