import { ROLES, type Role } from "@heelward/domain/access";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ManyField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import type { Choice } from "../../components/picker.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { CopyLink } from "../../parts/copy-link.tsx";
import { HorsePicker } from "../../parts/horse-picker.tsx";
import { useAllYards } from "./queries.ts";

const LinkShown = ({
  name,
  link,
  onClose,
}: {
  readonly name: string;
  readonly link: string;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation("people");
  return (
    <Dialog title={t("linkTitle")} isOpen onClose={onClose}>
      <CopyLink link={link} label={t("linkText", { name })} copy={t("copy")} copied={t("copied")} />
    </Dialog>
  );
};

const HorsesField = ({
  horses,
  onChange,
}: {
  readonly horses: readonly Choice[];
  readonly onChange: (horses: readonly Choice[]) => void;
}) => {
  const { t } = useTranslation("people");
  return (
    <div className="stack-tight">
      {horses.length === 0 ? null : (
        <ManyField
          label={t("horsesOf")}
          value={horses.map((one) => one.id)}
          onChange={(ids) => onChange(horses.filter((one) => ids.includes(one.id)))}
          options={horses.map((one) => ({ value: one.id, label: one.name }))}
        />
      )}
      <HorsePicker
        key={horses.length}
        label={horses.length === 0 ? t("horsesOf") : t("addHorse")}
        value={null}
        onChoose={(horse) => {
          if (horse !== null && !horses.some((one) => one.id === horse.id))
            onChange([...horses, horse]);
        }}
      />
    </div>
  );
};

/** Invites a person by a link that works once. */
export const InviteDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["people", "common"]);
  const invite = useWrite("invitePerson");
  const yards = useAllYards();
  const [draft, set] = useDraft({
    name: "",
    email: "",
    registrationNumber: "",
    roles: [] as readonly Role[],
    yardIds: [] as readonly string[],
    horses: [] as readonly Choice[],
  });
  const registrationNumber = typedText(draft.registrationNumber);
  const has = (...roles: readonly Role[]) => roles.some((role) => draft.roles.includes(role));
  if (invite.data !== undefined)
    return <LinkShown name={invite.data.name} link={invite.data.link} onClose={onClose} />;
  return (
    <Dialog title={t("invite")} isOpen onClose={onClose}>
      <Form
        problem={invite.error}
        onSubmit={() =>
          invite.mutate({
            body: {
              name: draft.name,
              email: draft.email,
              roles: [...draft.roles],
              ...(registrationNumber && { registrationNumber }),
              ...(has("carer", "farrier") && { yardIds: [...draft.yardIds] }),
              ...(has("owner") && { horseIds: draft.horses.map((one) => one.id) }),
            },
          })
        }
        footer={
          <Button look="primary" type="submit" isBusy={invite.isPending}>
            {t("inviteSend")}
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
          label={t("email")}
          name="email"
          type="email"
          required
          value={draft.email}
          onChange={set("email")}
        />
        <ManyField
          label={t("roles")}
          name="roles"
          value={draft.roles}
          onChange={set("roles")}
          options={ROLES.map((role) => ({ value: role, label: t(`common:role.${role}`) }))}
        />
        {has("vet", "farrier") ? (
          <TextField
            label={t("registration")}
            name="registrationNumber"
            hint={t("registrationHint")}
            isOptional
            value={draft.registrationNumber}
            onChange={set("registrationNumber")}
          />
        ) : null}
        {has("carer", "farrier") ? (
          <ManyField
            label={t("yards")}
            value={draft.yardIds}
            onChange={set("yardIds")}
            options={(yards.data?.items ?? []).map((yard) => ({
              value: yard.id,
              label: yard.name,
            }))}
          />
        ) : null}
        {has("owner") ? <HorsesField horses={draft.horses} onChange={set("horses")} /> : null}
      </Form>
    </Dialog>
  );
};
