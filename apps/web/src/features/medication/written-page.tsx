import type { WrittenPrescription } from "@heelward/contracts";
import { PackageCheck, Printer } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import { useWrite } from "../../api/use-call.ts";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts, Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Findings } from "../../components/findings.tsx";
import { Form } from "../../components/form.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { todayIn, useFormat } from "../../language/format.ts";
import { useWrittenPrescription } from "./queries.ts";
import styles from "./medication.module.css";

const SupplyDialog = ({
  prescription,
  onClose,
}: {
  readonly prescription: WrittenPrescription;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["medication", "common"]);
  const format = useFormat();
  const supply = useWrite("recordSupply");
  const [draft, set] = useDraft(() => ({
    suppliedOn: todayIn(format.timeZone),
    quantity: prescription.fields.find((one) => one.field === "quantity")?.text ?? "",
    batch: "",
  }));
  const batch = typedText(draft.batch);
  return (
    <Dialog title={t("written.supply")} isOpen onClose={onClose}>
      <Form
        problem={supply.error}
        onSubmit={() =>
          supply.mutate(
            {
              params: { prescriptionId: prescription.id },
              body: {
                suppliedOn: draft.suppliedOn,
                quantity: draft.quantity,
                ...(batch === undefined ? {} : { batch }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={supply.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <TextField
          label={t("written.suppliedOn")}
          name="suppliedOn"
          type="date"
          value={draft.suppliedOn}
          onChange={set("suppliedOn")}
        />
        <TextField
          label={t("written.quantity")}
          name="quantity"
          value={draft.quantity}
          onChange={set("quantity")}
        />
        <TextField
          label={t("batch")}
          name="batch"
          isOptional
          value={draft.batch}
          onChange={set("batch")}
        />
      </Form>
    </Dialog>
  );
};

const Supplies = ({ prescription }: { readonly prescription: WrittenPrescription }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  return (
    <Card title={t("written.supplies")} isFlush>
      {prescription.supplies.length === 0 ? (
        <EmptyState title={t("written.noSupplies")}>
          {t("written.supplied", { done: 0, all: prescription.repeats + 1 })}
        </EmptyState>
      ) : (
        <Rows
          label={t("written.supplies")}
          rows={prescription.supplies}
          keyOf={(one) => one.id}
          columns={[
            {
              key: "number",
              label: t("written.supplyNumber"),
              cell: (one) => String(one.number),
            },
            {
              key: "on",
              label: t("written.suppliedOn"),
              cell: (one) => format.date(one.suppliedOn),
            },
            { key: "quantity", label: t("written.quantity"), cell: (one) => one.quantity },
            {
              key: "batch",
              label: t("batch"),
              cell: (one) => one.batch ?? <span className="quiet">–</span>,
            },
            { key: "by", label: t("by"), cell: (one) => one.suppliedBy.name },
          ]}
        />
      )}
    </Card>
  );
};

const Shown = ({ prescription }: { readonly prescription: WrittenPrescription }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const [isOpen, setOpen] = useState(false);
  const isUsedUp = prescription.supplies.length > prescription.repeats;
  return (
    <>
      <PageHeader
        title={t("written.number", { number: prescription.number })}
        back={{
          href: `/medication/${prescription.horseId}?tab=written`,
          label: t("tabs.written"),
        }}
        lead={t("written.lead", {
          name: prescription.issuedBy.name,
          issued: format.date(prescription.issuedOn),
          last: format.date(prescription.lastOn),
        })}
        actions={
          <>
            <ButtonLink
              look="primary"
              icon={<Printer aria-hidden />}
              href={addressOf("readWrittenPrescriptionPdf", {
                params: { prescriptionId: prescription.id },
              })}
            >
              {t("written.pdf")}
            </ButtonLink>
            <Button
              icon={<PackageCheck aria-hidden />}
              disabled={isUsedUp}
              title={isUsedUp ? t("written.usedUp") : undefined}
              onClick={() => setOpen(true)}
            >
              {t("written.supply")}
            </Button>
          </>
        }
      />
      {isOpen ? <SupplyDialog prescription={prescription} onClose={() => setOpen(false)} /> : null}
      <div className="stack">
        <Card title={t("written.fields")}>
          <div className="stack">
            <Facts items={prescription.fields.map((one) => [one.label, one.text] as const)} />
            <Findings findings={prescription.findings} hidePasses />
          </div>
        </Card>
        <Supplies prescription={prescription} />
        <Card title={t("signature")}>
          <p className={styles["seal"]}>{prescription.signature}</p>
        </Card>
      </div>
    </>
  );
};

/** One written prescription: its legal fields, its paper, and what was supplied on it. */
export const WrittenPrescriptionPage = () => {
  const prescription = useWrittenPrescription(useParam("prescriptionId"));
  return (
    <QueryView query={prescription} lines={8}>
      {(data) => <Shown prescription={data} />}
    </QueryView>
  );
};
