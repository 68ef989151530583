import type { Yard } from "@heelward/contracts";
import { MapPin, Pencil, Phone } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { PhasePill } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts, Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ManyField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { useHorsesAt, useYard } from "./queries.ts";
import { weekdayNames } from "../../language/weekdays.ts";
import { YardForm } from "./yard-form.tsx";
import { telHref } from "../../parts/tel-href.ts";

const ChangeDialog = ({ yard, onClose }: { readonly yard: Yard; readonly onClose: () => void }) => {
  const { t } = useTranslation("yards");
  const change = useWrite("changeYard");
  return (
    <Dialog title={t("change")} isOpen isWide onClose={onClose}>
      <YardForm
        yard={yard}
        problem={change.error}
        isBusy={change.isPending}
        onCancel={onClose}
        onSave={(body) =>
          change.mutate(
            { params: { yardId: yard.id }, ifMatch: yard.version, body },
            { onSuccess: onClose },
          )
        }
      />
    </Dialog>
  );
};

const PeopleDialog = ({ yard, onClose }: { readonly yard: Yard; readonly onClose: () => void }) => {
  const { t } = useTranslation(["yards", "common"]);
  const save = useWrite("setYardPeople");
  const people = [...usePeopleOf("carer"), ...usePeopleOf("farrier")];
  const [chosen, setChosen] = useState<readonly string[]>(yard.people.map((one) => one.id));
  return (
    <Dialog title={t("setPeople")} isOpen onClose={onClose}>
      <Form
        problem={save.error}
        onSubmit={() =>
          save.mutate(
            {
              params: { yardId: yard.id },
              ifMatch: yard.version,
              body: { personIds: [...chosen] },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button look="primary" type="submit" isBusy={save.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <ManyField
          label={t("people")}
          value={chosen}
          onChange={setChosen}
          options={people.map((one) => ({
            value: one.id,
            label: `${one.name} (${one.roles.map((role) => t(`common:role.${role}`)).join(", ")})`,
          }))}
        />
      </Form>
    </Dialog>
  );
};

const AboutCard = ({ yard }: { readonly yard: Yard }) => {
  const { t } = useTranslation(["yards", "common"]);
  const format = useFormat();
  const days = weekdayNames(format.locale);
  const unknown = <span className="quiet">{t("common:unknown")}</span>;
  return (
    <Card title={t("access")}>
      <div className="stack">
        {yard.accessNotes === null ? null : (
          <p style={{ whiteSpace: "pre-line" }}>{yard.accessNotes}</p>
        )}
        <Facts
          items={[
            [t("address"), yard.address ?? unknown],
            [t("surface"), yard.surface ?? unknown],
            [t("signal"), yard.signal ?? unknown],
            [t("weighing"), yard.weighing ?? unknown],
            [t("timeZone"), yard.timeZone],
            [
              t("opening"),
              yard.opening.length === 0 ? (
                t("always")
              ) : (
                <ul key="o" className="bare">
                  {yard.opening.map((one) => (
                    <li key={`${String(one.weekday)}${one.opens}`}>
                      {days[one.weekday - 1]} {one.opens}–{one.closes}
                    </li>
                  ))}
                </ul>
              ),
            ],
            [
              t("closedOn"),
              yard.closedOn.length === 0
                ? t("common:none")
                : yard.closedOn.map((on) => format.date(on)).join(", "),
            ],
          ]}
        />
      </div>
    </Card>
  );
};

const HorsesCard = ({ yardId }: { readonly yardId: string }) => {
  const { t } = useTranslation("yards");
  const horses = useHorsesAt(yardId);
  return (
    <Card title={t("horsesHere")} isFlush>
      <QueryView query={horses}>
        {({ items }) => (
          <Rows
            label={t("horsesHere")}
            rows={items}
            keyOf={(horse) => horse.id}
            columns={[
              {
                key: "name",
                label: t("name"),
                hideLabelOnPhone: true,
                cell: (horse) => <Link href={`/horses/${horse.id}`}>{horse.name}</Link>,
              },
              {
                key: "phase",
                label: "",
                cell: (horse) =>
                  horse.phase === null || horse.openCaseId === null ? null : (
                    <Link href={`/cases/${horse.openCaseId}`}>
                      <PhasePill phase={horse.phase} />
                    </Link>
                  ),
              },
            ]}
          />
        )}
      </QueryView>
    </Card>
  );
};

export const YardPage = () => {
  const { t } = useTranslation(["yards", "common"]);
  const yard = useYard(useParam("yardId"));
  const mayChange = useIsRole("vet", "manager");
  const isManager = useIsRole("manager");
  const [dialog, setDialog] = useState<"change" | "people">();
  const close = () => setDialog(undefined);
  return (
    <QueryView query={yard} lines={8}>
      {(data) => (
        <>
          <PageHeader
            title={data.name}
            back={{ href: "/yards", label: t("title") }}
            lead={t("horseCount", { count: data.horseCount })}
            actions={
              <>
                {data.phone === null ? null : (
                  <a href={telHref(data.phone)} className="row">
                    <Phone aria-hidden size="1.1em" /> {data.phone}
                  </a>
                )}
                <a href={`geo:${String(data.lat)},${String(data.lon)}`} className="row">
                  <MapPin aria-hidden size="1.1em" /> {t("map")}
                </a>
                {mayChange ? (
                  <Button icon={<Pencil aria-hidden />} onClick={() => setDialog("change")}>
                    {t("common:change")}
                  </Button>
                ) : null}
              </>
            }
          />
          {dialog === "change" ? <ChangeDialog yard={data} onClose={close} /> : null}
          {dialog === "people" ? <PeopleDialog yard={data} onClose={close} /> : null}
          <div className="columns">
            <AboutCard yard={data} />
            <div className="stack">
              <Card
                title={t("people")}
                actions={
                  isManager ? (
                    <Button look="quiet" onClick={() => setDialog("people")}>
                      {t("setPeople")}
                    </Button>
                  ) : undefined
                }
              >
                {data.people.length === 0 ? (
                  <p className="quiet">{t("noPeople")}</p>
                ) : (
                  <p>{data.people.map((one) => one.name).join(", ")}</p>
                )}
              </Card>
              <HorsesCard yardId={data.id} />
            </div>
          </div>
        </>
      )}
    </QueryView>
  );
};
