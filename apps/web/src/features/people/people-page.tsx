import type { Person } from "@heelward/contracts";
import { ROLES, type Role } from "@heelward/domain/access";
import { BadgeCheck, UserPlus } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { SelectField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { DataRequests } from "./data-requests.tsx";
import { ChangePersonDialog } from "./change-dialog.tsx";
import { useInvitations, usePeople } from "./queries.ts";
import { SignInPolicy } from "./sign-in-policy.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { telHref } from "../../parts/tel-href.ts";

const InviteDialog = lazyPart(() => import("./invite-dialog.tsx").then((m) => m.InviteDialog));

const Invitations = () => {
  const { t } = useTranslation(["people", "common"]);
  const format = useFormat();
  const invitations = useInvitations(true);
  const withdraw = useWrite("withdrawInvitation");
  return (
    <Card title={t("invitations")} isFlush>
      {withdraw.error === null ? null : <ErrorState error={withdraw.error} />}
      <QueryView query={invitations}>
        {({ items }) => (
          <Rows
            label={t("invitations")}
            rows={items}
            keyOf={(one) => one.id}
            columns={[
              { key: "name", label: t("name"), hideLabelOnPhone: true, cell: (one) => one.name },
              { key: "email", label: t("email"), hideLabelOnPhone: true, cell: (one) => one.email },
              {
                key: "roles",
                label: t("roles"),
                cell: (one) => one.roles.map((role) => t(`common:role.${role}`)).join(", "),
              },
              {
                key: "state",
                label: t("status"),
                cell: (one) =>
                  one.acceptedAt !== null
                    ? t("accepted")
                    : one.withdrawnAt !== null
                      ? t("withdrawn")
                      : Date.parse(one.expiresAt) < Date.now()
                        ? t("expired")
                        : t("expires", { when: format.shortDateTime(one.expiresAt) }),
              },
              {
                key: "action",
                label: "",
                cell: (one) =>
                  one.acceptedAt !== null || one.withdrawnAt !== null ? null : (
                    <Button
                      look="danger"
                      isBusy={withdraw.isPending}
                      onClick={() =>
                        withdraw.mutate({
                          params: { invitationId: one.id },
                          ifMatch: one.version,
                        })
                      }
                    >
                      {t("withdraw")}
                    </Button>
                  ),
              },
            ]}
          />
        )}
      </QueryView>
    </Card>
  );
};

const PeopleRows = ({
  people,
  onChange,
}: {
  readonly people: readonly Person[];
  readonly onChange: ((person: Person) => void) | undefined;
}) => {
  const { t } = useTranslation(["people", "common"]);
  return (
    <Rows
      label={t("title")}
      rows={people}
      keyOf={(person) => person.id}
      columns={[
        {
          key: "name",
          label: t("name"),
          hideLabelOnPhone: true,
          cell: (person) => (
            <span className="row">
              <strong>{person.name}</strong>
              {person.clinicalLead ? (
                <Badge tone="soon" icon={<BadgeCheck aria-hidden />}>
                  {t("clinicalLead")}
                </Badge>
              ) : null}
              {person.status === "active" ? null : <Badge>{t(`statuses.${person.status}`)}</Badge>}
            </span>
          ),
        },
        {
          key: "roles",
          label: t("roles"),
          hideLabelOnPhone: true,
          cell: (person) => person.roles.map((role) => t(`common:role.${role}`)).join(", "),
        },
        {
          key: "phone",
          label: t("phone"),
          hideLabelOnPhone: true,
          cell: (person) =>
            person.phone === null ? null : <a href={telHref(person.phone)}>{person.phone}</a>,
        },
        {
          key: "email",
          label: t("email"),
          hideLabelOnPhone: true,
          cell: (person) => <a href={`mailto:${person.email}`}>{person.email}</a>,
        },
        ...(onChange === undefined
          ? []
          : [
              {
                key: "change",
                label: "",
                cell: (person: Person) => (
                  <Button
                    look="quiet"
                    aria-label={t("change", { name: person.name })}
                    onClick={() => onChange(person)}
                  >
                    {t("common:change")}
                  </Button>
                ),
              },
            ]),
      ]}
    />
  );
};

export const PeoplePage = () => {
  const { t } = useTranslation(["people", "common"]);
  const { get, set } = useSearchState();
  const isManager = useIsRole("manager");
  const role = ROLES.find((one) => one === get("role"));
  const people = usePeople(role);
  const [isInviting, setInviting] = useState(false);
  const [changed, setChanged] = useState<Person>();
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={t("lead")}
        actions={
          isManager ? (
            <Button
              look="primary"
              icon={<UserPlus aria-hidden />}
              onClick={() => setInviting(true)}
            >
              {t("invite")}
            </Button>
          ) : undefined
        }
      />
      {isInviting ? <InviteDialog onClose={() => setInviting(false)} /> : null}
      {changed === undefined ? null : (
        <ChangePersonDialog person={changed} onClose={() => setChanged(undefined)} />
      )}
      <div className="stack">
        <div className="filters no-print">
          <SelectField<Role>
            label={t("role")}
            value={role ?? ""}
            onChange={(next) => set({ role: next })}
            emptyLabel={t("allRoles")}
            options={ROLES.map((one) => ({ value: one, label: t(`common:role.${one}`) }))}
          />
        </div>
        <Card isFlush>
          <QueryView query={people}>
            {({ items }) => (
              <PeopleRows people={items} onChange={isManager ? setChanged : undefined} />
            )}
          </QueryView>
        </Card>
        {isManager ? <Invitations /> : null}
        {isManager ? <DataRequests /> : null}
        {isManager ? <SignInPolicy /> : null}
      </div>
    </>
  );
};
