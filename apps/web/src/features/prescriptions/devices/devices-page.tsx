import type { OwnDevice } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { FILL_CATALOGUE, FIXING_CATALOGUE, SHOE_CATALOGUE } from "@heelward/domain/trim";
import { Archive, Plus, Wrench } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../../api/use-call.ts";
import { useIsRole } from "../../../app/current-session.tsx";
import { Badge } from "../../../components/badges.tsx";
import { Button } from "../../../components/button.tsx";
import { Card } from "../../../components/card.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { TextArea } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { PageHeader } from "../../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../../components/states.tsx";
import { useFormat } from "../../../language/format.ts";
import { AddDeviceDialog } from "./add-device-dialog.tsx";
import styles from "./devices.module.css";

interface Shown {
  readonly name: string;
  readonly materials?: readonly string[];
  readonly does: string;
  readonly doNotUse: readonly string[];
}

const Entry = ({
  entry,
  sizes,
  children,
}: {
  readonly entry: Shown;
  readonly sizes: readonly string[];
  readonly children?: React.ReactNode;
}) => (
  <>
    <p>{entry.does}</p>
    {sizes.length === 0 ? null : <p className="quiet small">{sizes.join(" · ")}</p>}
    <ul className={styles["not"]}>
      {entry.doNotUse.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
    {children}
  </>
);

const RetireDialog = ({
  device,
  onClose,
}: {
  readonly device: OwnDevice;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["devices", "common"]);
  const retire = useWrite("retireOwnDevice");
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("retireTitle", { name: device.entry.name })} isOpen onClose={onClose}>
      <Form
        problem={retire.error}
        onSubmit={() =>
          retire.mutate(
            { params: { deviceId: device.id }, body: { reason }, ifMatch: device.version },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button
            look="danger"
            type="submit"
            disabled={reason.trim() === ""}
            isBusy={retire.isPending}
          >
            {t("retire")}
          </Button>
        }
      >
        <p>{t("retireText")}</p>
        <TextArea
          label={t("reason")}
          name="reason"
          maxLength={300}
          required
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};

const OwnEntryCard = ({ device }: { readonly device: OwnDevice }) => {
  const { t } = useTranslation(["devices", "common"]);
  const format = useFormat();
  const mayChange = useIsRole("vet", "farrier");
  const [isRetiring, setRetiring] = useState(false);
  const { entry } = device;
  const sizes = [
    ...("materials" in entry ? [entry.materials.join(", ")] : []),
    ...(entry.part === "shoe"
      ? [
          t("sizes", {
            web: format.number(entry.webMm),
            thick: format.number(entry.thicknessMm),
            back: format.number(entry.setBackMm),
          }),
        ]
      : []),
    ...(entry.part === "shoe" && entry.weightGrams !== undefined
      ? [t("grams", { low: entry.weightGrams.low, high: entry.weightGrams.high })]
      : []),
    ...(entry.part === "fill" ? [t(`coverKinds.${entry.covers}`)] : []),
  ].filter((one) => one !== "");
  return (
    <Card
      title={entry.name}
      actions={
        device.retiredAt === null && mayChange ? (
          <Button look="quiet" icon={<Archive aria-hidden />} onClick={() => setRetiring(true)}>
            {t("retire")}
          </Button>
        ) : undefined
      }
    >
      <div className="stack-tight">
        <Badge tone="plain">{t(`parts.${entry.part}`)}</Badge>
        <Entry entry={entry} sizes={sizes}>
          <p className="quiet small">
            {device.source}{" "}
            {t("by", { name: device.addedBy.name, when: format.day(device.addedAt) })}
          </p>
          {device.retiredAt === null ? null : (
            <p>
              <strong>
                {t("retired", {
                  name: device.retiredBy?.name ?? "",
                  when: format.day(device.retiredAt),
                })}
              </strong>
            </p>
          )}
        </Entry>
      </div>
      {isRetiring ? <RetireDialog device={device} onClose={() => setRetiring(false)} /> : null}
    </Card>
  );
};

/** What plans may name: the practice's own entries, and the generic catalogue below them. */
export const DevicesPage = () => {
  const { t } = useTranslation(["devices", "common"]);
  const format = useFormat();
  const mayAdd = useIsRole("vet", "farrier");
  const devices = useQuery(read("listOwnDevices", {}));
  const [isAdding, setAdding] = useState(false);
  const generic: readonly (readonly [
    "shoe" | "fill" | "fixing",
    readonly (Shown & { readonly id: string })[],
  ])[] = [
    ["shoe", SHOE_CATALOGUE],
    ["fill", FILL_CATALOGUE],
    ["fixing", FIXING_CATALOGUE],
  ];
  return (
    <>
      <PageHeader
        title={t("title")}
        lead={t("lead")}
        actions={
          mayAdd ? (
            <Button look="primary" icon={<Plus aria-hidden />} onClick={() => setAdding(true)}>
              {t("add")}
            </Button>
          ) : undefined
        }
      />
      <div className="stack">
        <QueryView query={devices}>
          {({ items }) =>
            items.length === 0 ? (
              <EmptyState icon={<Wrench aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            ) : (
              <div className={styles["cards"]}>
                {items.map((device) => (
                  <OwnEntryCard key={device.id} device={device} />
                ))}
              </div>
            )
          }
        </QueryView>
        <Card title={t("generic")}>
          {generic.map(([part, entries]) => (
            <details key={part}>
              <summary>{t(`parts.${part}`)}</summary>
              <dl className={styles["generic"]}>
                {entries.map((entry) => (
                  <div key={entry.id}>
                    <dt>{entry.name}</dt>
                    <dd>
                      <Entry
                        entry={entry}
                        sizes={
                          (entry.materials?.length ?? 0) === 0
                            ? []
                            : [format.list(entry.materials ?? [])]
                        }
                      />
                    </dd>
                  </div>
                ))}
              </dl>
            </details>
          ))}
        </Card>
      </div>
      {isAdding ? <AddDeviceDialog onClose={() => setAdding(false)} /> : null}
    </>
  );
};
