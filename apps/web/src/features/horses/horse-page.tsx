import type { Horse } from "@heelward/contracts";
import { Eye, FolderOpen, Pencil, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { HorseForm } from "./horse-form.tsx";
import { OwnersDialog } from "./owners-dialog.tsx";
import { PassportCard } from "./passport-card.tsx";
import { useHorse } from "./queries.ts";
import { WeightCard } from "./weight-card.tsx";

const IdentityCard = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation(["horses", "common"]);
  const format = useFormat();
  const [isOpen, setOpen] = useState(false);
  const isManager = useIsRole("manager");
  const unknown = <span className="quiet">{t("common:unknown")}</span>;
  const states = [horse.pregnant ? t("pregnant") : "", horse.lactating ? t("lactating") : ""];
  return (
    <Card
      title={t("identity")}
      actions={
        isManager ? (
          <Button look="quiet" onClick={() => setOpen(true)}>
            {t("setOwners")}
          </Button>
        ) : undefined
      }
    >
      {isOpen ? <OwnersDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <div className="stack">
        <Facts
          items={[
            [t("owners"), horse.owners.map((one) => one.name).join(", ") || t("noOwner")],
            [t("farrier"), horse.farrier?.name ?? t("noFarrier")],
            [
              t("yard"),
              <Link key="y" href={`/yards/${horse.yard.id}`}>
                {horse.yard.name}
              </Link>,
            ],
            [t("sex"), t(`sexes.${horse.sex}`)],
            [t("born"), horse.bornOn === null ? unknown : format.date(horse.bornOn)],
            [
              t("height"),
              horse.heightCm === null ? unknown : `${format.number(horse.heightCm, 0)} cm`,
            ],
            [t("microchip"), horse.microchip ?? unknown],
            [t("ueln"), horse.ueln ?? unknown],
            [
              t("conditions"),
              [...horse.conditions, ...states].filter((one) => one !== "").join(", ") ||
                t("common:none"),
            ],
          ]}
        />
        {horse.identityNotes.map((note) => (
          <p key={note}>
            <Badge tone="today" icon={<TriangleAlert aria-hidden />}>
              {t("common:outcome.warn")}
            </Badge>{" "}
            {note}
          </p>
        ))}
      </div>
    </Card>
  );
};

const HoofCard = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation(["horses", "common"]);
  const format = useFormat();
  const figure = (value: number | null, unit: string) =>
    value === null ? (
      <span className="quiet">{t("common:unknown")}</span>
    ) : (
      `${format.number(value, 2)} ${unit}`
    );
  return (
    <Card title={t("hoof")}>
      <Facts
        items={[
          [t("feet"), horse.feet ?? <span className="quiet">{t("common:unknown")}</span>],
          [
            t("interval"),
            horse.resetIntervalDays === null
              ? figure(null, "")
              : t("common:days", { count: horse.resetIntervalDays }),
          ],
          [t("limit"), figure(horse.breakoverLimitMm, "mm")],
          [t("growth"), figure(horse.growthMmPer30d, t("growthUnit"))],
          [t("wallAngle"), figure(horse.wallAngleDegrees, "°")],
          [t("wear"), figure(horse.wearFraction, "")],
        ]}
      />
    </Card>
  );
};

const ChangeDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation("horses");
  const change = useWrite("changeHorse");
  return (
    <Dialog title={t("change")} isOpen isWide onClose={onClose}>
      <HorseForm
        horse={horse}
        problem={change.error}
        isBusy={change.isPending}
        onCancel={onClose}
        onSave={({ ownerIds: _owners, ...body }) =>
          change.mutate(
            { params: { horseId: horse.id }, ifMatch: horse.version, body },
            { onSuccess: onClose },
          )
        }
      />
    </Dialog>
  );
};

export const HorsePage = () => {
  const { t } = useTranslation(["horses", "common"]);
  const horse = useHorse(useParam("horseId"));
  const mayChange = useIsRole("vet", "manager");
  const [isOpen, setOpen] = useState(false);
  return (
    <QueryView query={horse} lines={8}>
      {(data) => (
        <>
          <PageHeader
            title={data.name}
            back={{ href: "/horses", label: t("title") }}
            beside={
              data.status === "active" ? undefined : <Badge>{t(`statuses.${data.status}`)}</Badge>
            }
            lead={[t(`common:horseType.${data.type}`), data.breed, data.yard.name]
              .filter((one) => one !== null)
              .join(" · ")}
            actions={
              <>
                {data.openCaseId === null ? null : (
                  <ButtonLink
                    href={`/cases/${data.openCaseId}`}
                    look="primary"
                    icon={<FolderOpen aria-hidden />}
                  >
                    {t("openCase")}
                  </ButtonLink>
                )}
                <ButtonLink href={`/horses/${data.id}/watches`} icon={<Eye aria-hidden />}>
                  {t("watches")}
                </ButtonLink>
                {mayChange ? (
                  <Button icon={<Pencil aria-hidden />} onClick={() => setOpen(true)}>
                    {t("common:change")}
                  </Button>
                ) : null}
              </>
            }
          />
          {isOpen ? <ChangeDialog horse={data} onClose={() => setOpen(false)} /> : null}
          <div className="stack">
            <div className="columns">
              <IdentityCard horse={data} />
              <div className="stack">
                <PassportCard horse={data} />
                <HoofCard horse={data} />
              </div>
            </div>
            <WeightCard horse={data} />
          </div>
        </>
      )}
    </QueryView>
  );
};
