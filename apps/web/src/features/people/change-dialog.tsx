import type { Person } from "@heelward/contracts";
import { ROLES, type Role } from "@heelward/domain/access";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, ManyField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { SignInHelp } from "./sign-in-help.tsx";

/** Changes a person's name, contact, roles or standing. */
export const ChangePersonDialog = ({
  person,
  onClose,
}: {
  readonly person: Person;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["people", "common"]);
  const change = useWrite("changePerson");
  const [draft, set] = useDraft({
    name: person.name,
    phone: person.phone ?? "",
    roles: person.roles as readonly Role[],
    registrationNumber: person.registrationNumber ?? "",
    status: person.status,
  });
  return (
    <Dialog title={t("change", { name: person.name })} isOpen onClose={onClose}>
      <div className="stack">
        <Form
          problem={change.error}
          onSubmit={() =>
            change.mutate(
              {
                params: { personId: person.id },
                ifMatch: person.version,
                body: {
                  name: draft.name,
                  phone: typedText(draft.phone) ?? null,
                  roles: [...draft.roles],
                  registrationNumber: typedText(draft.registrationNumber) ?? null,
                  ...(draft.status !== "invited" && { status: draft.status }),
                },
              },
              { onSuccess: onClose },
            )
          }
          footer={
            <Button look="primary" type="submit" isBusy={change.isPending}>
              {t("common:save")}
            </Button>
          }
        >
          <TextField
            label={t("name")}
            name="name"
            required
            value={draft.name}
            onChange={set("name")}
          />
          <TextField
            label={t("phone")}
            name="phone"
            type="tel"
            isOptional
            value={draft.phone}
            onChange={set("phone")}
          />
          <ManyField
            label={t("roles")}
            name="roles"
            value={draft.roles}
            onChange={set("roles")}
            options={ROLES.map((role) => ({ value: role, label: t(`common:role.${role}`) }))}
          />
          <TextField
            label={t("registration")}
            name="registrationNumber"
            hint={t("registrationHint")}
            isOptional
            value={draft.registrationNumber}
            onChange={set("registrationNumber")}
          />
          {person.status === "invited" ? null : (
            <ChoiceField
              label={t("status")}
              name="status"
              hint={t("remove")}
              value={draft.status}
              onChange={set("status")}
              options={(["active", "removed"] as const).map((one) => ({
                value: one,
                label: t(`statuses.${one}`),
              }))}
            />
          )}
        </Form>
        {person.status === "active" ? <SignInHelp person={person} /> : null}
      </div>
    </Dialog>
  );
};
