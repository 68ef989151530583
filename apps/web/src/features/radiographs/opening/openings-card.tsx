import { memo, useState } from "react";
import type { Procedure, RadiographView } from "@heelward/contracts";
import { CircleCheck, CircleX, Hourglass, PenLine } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../../app/current-session.tsx";
import { Badge } from "../../../components/badges.tsx";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { Facts } from "../../../components/data-list.tsx";
import { useFormat } from "../../../language/format.ts";
import drawnStyles from "../drawing/drawing.module.css";
import { useProcedures } from "../queries.ts";
import { CloseOpeningDialog } from "./close-opening-dialog.tsx";
import { SignOpeningDialog } from "./sign-opening-dialog.tsx";

const LOOKS = {
  requested: ["today", Hourglass],
  signed: ["soon", PenLine],
  done: ["fine", CircleCheck],
  declined: ["plain", CircleX],
} as const;

const Opening = ({ procedure }: { readonly procedure: Procedure }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const format = useFormat();
  const isVet = useIsRole("vet");
  const [open, setOpen] = useState<"sign" | "done" | "declined">();
  const [tone, Icon] = LOOKS[procedure.status];
  const by = (person: { readonly name: string } | null, at: string | null) =>
    person === null || at === null
      ? "–"
      : t("setBy", { name: person.name, when: format.dateTime(at) });
  return (
    <li className={drawnStyles["drawn"]}>
      <div className="row">
        <strong>{t(`opening.kinds.${procedure.kind}`)}</strong>
        <Badge tone={tone} icon={<Icon aria-hidden />}>
          {t(`opening.status.${procedure.status}`)}
        </Badge>
      </div>
      <p>{procedure.reason}</p>
      <Facts
        items={[
          [t("opening.askedBy"), by(procedure.requestedBy, procedure.requestedAt)],
          ...(procedure.signedBy === null
            ? []
            : [
                [t("opening.signedBy"), by(procedure.signedBy, procedure.signedAt)] as const,
                [t("opening.consentOf"), procedure.consent?.by ?? "–"] as const,
                [t("opening.aftercare"), procedure.aftercare.join("; ")] as const,
              ]),
          ...(procedure.found === null
            ? []
            : [
                [t("opening.doneBy"), by(procedure.doneBy, procedure.doneAt)] as const,
                [t("opening.found"), procedure.found] as const,
              ]),
          ...(procedure.declinedReason === null
            ? []
            : [[t("opening.declineReason"), procedure.declinedReason] as const]),
        ]}
      />
      {isVet ? (
        <div className="row">
          {procedure.status === "requested" ? (
            <>
              <Button look="primary" icon={<PenLine aria-hidden />} onClick={() => setOpen("sign")}>
                {t("opening.sign")}
              </Button>
              <Button look="quiet" onClick={() => setOpen("declined")}>
                {t("opening.decline")}
              </Button>
            </>
          ) : null}
          {procedure.status === "signed" ? (
            <Button icon={<CircleCheck aria-hidden />} onClick={() => setOpen("done")}>
              {t("opening.record")}
            </Button>
          ) : null}
        </div>
      ) : procedure.status === "requested" ? (
        <p className="quiet small">{t("opening.onlyVet")}</p>
      ) : null}
      {open === "sign" ? (
        <SignOpeningDialog procedure={procedure} onClose={() => setOpen(undefined)} />
      ) : null}
      {open === "done" || open === "declined" ? (
        <CloseOpeningDialog procedure={procedure} how={open} onClose={() => setOpen(undefined)} />
      ) : null}
    </li>
  );
};

/** Drainages and resections that rest on this film: asked for by anyone on the case, ordered by a vet alone. */
export const OpeningsCard = memo(({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation("radiographs");
  const procedures = useProcedures(radiograph.caseId);
  const items = (procedures.data?.items ?? []).filter((one) => one.radiographId === radiograph.id);
  if (items.length === 0) return null;
  return (
    <Card title={t("opening.title")}>
      <ul>
        {items.map((procedure) => (
          <Opening key={procedure.id} procedure={procedure} />
        ))}
      </ul>
    </Card>
  );
});
