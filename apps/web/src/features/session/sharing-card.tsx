import { useQuery } from "@tanstack/react-query";
import { TabletSmartphone } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useSharedDevice } from "../../parts/shared-device.ts";

/** The own PIN for shared tablets of the yard. */
const PinCard = () => {
  const { t } = useTranslation("sharing");
  const [pin, setPin] = useState("");
  const save = useWrite("setPin");
  const forget = useWrite("removePin");
  return (
    <Card title={t("ownPin")}>
      <Form
        problem={save.error ?? forget.error}
        onSubmit={() => save.mutate({ body: { pin } }, { onSuccess: () => setPin("") })}
        footer={
          <>
            <Button look="primary" type="submit" isBusy={save.isPending}>
              {t("savePin")}
            </Button>
            <Button look="quiet" isBusy={forget.isPending} onClick={() => forget.mutate({})}>
              {t("forgetPin")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("ownPinWhy")}</p>
        <TextField
          label={t("newPin")}
          hint={t("newPinHint")}
          name="pin"
          type="password"
          inputMode="numeric"
          autoComplete="off"
          required
          value={pin}
          onChange={setPin}
        />
        {save.isSuccess ? <output>{t("pinSaved")}</output> : null}
      </Form>
    </Card>
  );
};

/** Makes the browser one sits at a shared one. */
const ShareThis = () => {
  const { t } = useTranslation("sharing");
  const yards = useQuery(read("listYards", { query: { limit: 200 } }));
  const [yardId, setYardId] = useState("");
  const [name, setName] = useState("");
  const trust = useWrite("trustDevice");
  const items = yards.data?.items ?? [];
  const chosen = yardId === "" && items.length === 1 ? (items[0]?.id ?? "") : yardId;
  return (
    <Form
      problem={trust.error}
      onSubmit={() => trust.mutate({ body: { yardId: chosen, name } })}
      footer={
        <Button type="submit" icon={<TabletSmartphone aria-hidden />} isBusy={trust.isPending}>
          {t("shareThis")}
        </Button>
      }
    >
      <SelectField
        label={t("yard")}
        name="yardId"
        required
        value={chosen}
        onChange={setYardId}
        options={items.map((yard) => ({ value: yard.id, label: yard.name }))}
      />
      <TextField
        label={t("deviceName")}
        hint={t("deviceNameHint")}
        name="name"
        required
        value={name}
        onChange={setName}
      />
    </Form>
  );
};

/** Which devices the yards share, and whether this one is among them. */
const DevicesCard = () => {
  const { t } = useTranslation("sharing");
  const format = useFormat();
  const devices = useQuery(read("listYardDevices", {}));
  const here = useSharedDevice();
  const stop = useWrite("revokeYardDevice");
  return (
    <Card title={t("shared")}>
      <div className="stack">
        <p className="quiet">{t("sharedWhy")}</p>
        {stop.error === null ? null : <ErrorState error={stop.error} />}
        <QueryView query={devices}>
          {({ items }) =>
            items.length === 0 ? (
              <p>{t("none")}</p>
            ) : (
              <Rows
                label={t("shared")}
                rows={items}
                keyOf={(row) => row.id}
                columns={[
                  {
                    key: "name",
                    label: t("deviceName"),
                    hideLabelOnPhone: true,
                    cell: (row) => (
                      <>
                        {row.name}{" "}
                        {row.id === here?.id ? <Badge tone="fine">{t("shareThis")}</Badge> : null}
                      </>
                    ),
                  },
                  { key: "yard", label: t("yard"), cell: (row) => row.yard.name },
                  {
                    key: "used",
                    label: "",
                    cell: (row) => (
                      <span className="quiet">
                        {t("lastUsed", { when: format.relative(row.lastUsedAt) })}
                      </span>
                    ),
                  },
                  {
                    key: "stop",
                    label: "",
                    cell: (row) => (
                      <Button
                        look="danger"
                        isBusy={stop.isPending}
                        onClick={() =>
                          stop.mutate({ params: { deviceId: row.id }, ifMatch: row.version })
                        }
                      >
                        {t("stop")}
                      </Button>
                    ),
                  },
                ]}
              />
            )
          }
        </QueryView>
        {here === null ? (
          <ShareThis />
        ) : (
          <p>{t("isShared", { yard: here.yard.name, name: here.name })}</p>
        )}
      </div>
    </Card>
  );
};

/** Sharing a tablet in the yard: the own PIN for those who use one, the devices for those who say which. */
export const SharingCard = () => {
  const { session } = useCurrent();
  const maySayWhich = useIsRole("vet", "manager", "carer");
  const usesPin = session.person.roles.every((role) => role === "carer" || role === "farrier");
  return (
    <>
      {usesPin ? <PinCard /> : null}
      {maySayWhich ? <DevicesCard /> : null}
    </>
  );
};
