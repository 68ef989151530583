import { useQuery, useQueryClient } from "@tanstack/react-query";
import { KeyRound, ShieldCheck, Smartphone } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { read, useWrite } from "../../api/use-call.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { hasPasskeys } from "../../parts/passkeys.ts";

const AddAppDialog = lazyPart(() => import("./add-app-dialog.tsx").then((m) => m.AddAppDialog));
const AddPasskeyDialog = lazyPart(() =>
  import("./add-passkey-dialog.tsx").then((m) => m.AddPasskeyDialog),
);
const RecoveryCodesDialog = lazyPart(() =>
  import("./recovery-codes-dialog.tsx").then((m) => m.RecoveryCodesDialog),
);

type Open = "app" | "passkey" | undefined;

/** The person's second factors: an app, passkeys, and the codes for the day the phone is lost. */
export const FactorsCard = () => {
  const { t } = useTranslation("session");
  const format = useFormat();
  const client = useQueryClient();
  const factors = useQuery(read("listFactors", {}));
  const remove = useWrite("removeFactor");
  const renew = useWrite("renewRecoveryCodes");
  const [open, setOpen] = useState<Open>();
  const [codes, setCodes] = useState<readonly string[]>();
  // Read again only now: while a practice insists, the page would be gone before the codes were seen.
  const finish = () => {
    setCodes(undefined);
    void client.invalidateQueries();
  };
  const added = (fresh: readonly string[] | null) => {
    setOpen(undefined);
    if (fresh === null) finish();
    else setCodes(fresh);
  };
  const error = remove.error ?? renew.error;
  return (
    <Card
      title={t("factors")}
      actions={
        <>
          <Button icon={<Smartphone aria-hidden />} onClick={() => setOpen("app")}>
            {t("addApp")}
          </Button>
          {hasPasskeys() ? (
            <Button icon={<KeyRound aria-hidden />} onClick={() => setOpen("passkey")}>
              {t("addPasskey")}
            </Button>
          ) : null}
        </>
      }
    >
      {open === "app" ? <AddAppDialog onAdded={added} onClose={() => setOpen(undefined)} /> : null}
      {open === "passkey" ? (
        <AddPasskeyDialog onAdded={added} onClose={() => setOpen(undefined)} />
      ) : null}
      {codes === undefined ? null : <RecoveryCodesDialog codes={codes} onKept={finish} />}
      {error === null ? null : <ErrorState error={error} />}
      <QueryView query={factors}>
        {({ items, recoveryCodesLeft, isRequired }) => (
          <div className="stack">
            {isRequired ? (
              <p>
                <Badge tone="soon" icon={<ShieldCheck aria-hidden />}>
                  {t("factorsRequired")}
                </Badge>
              </p>
            ) : null}
            {items.length === 0 ? (
              <p className="quiet">{t("factorsNone")}</p>
            ) : (
              <>
                <Rows
                  label={t("factors")}
                  rows={items}
                  keyOf={(row) => row.id}
                  columns={[
                    {
                      key: "name",
                      label: t("factorName"),
                      hideLabelOnPhone: true,
                      cell: (row) => <strong>{row.name}</strong>,
                    },
                    {
                      key: "kind",
                      label: t("factorKind"),
                      hideLabelOnPhone: true,
                      cell: (row) => (row.kind === "passkey" ? t("kindPasskey") : t("kindApp")),
                    },
                    {
                      key: "used",
                      label: t("used"),
                      hideLabelOnPhone: true,
                      cell: (row) => (
                        <span className="quiet">
                          {row.lastUsedAt === null
                            ? t("factorAdded", { when: format.shortDateTime(row.addedAt) })
                            : t("lastUsed", { when: format.relative(row.lastUsedAt) })}
                        </span>
                      ),
                    },
                    {
                      key: "remove",
                      label: "",
                      cell: (row) => (
                        <Button
                          look="danger"
                          isBusy={remove.isPending}
                          aria-label={t("removeNamed", { name: row.name })}
                          onClick={() => remove.mutate({ params: { factorId: row.id } })}
                        >
                          {t("removeFactor")}
                        </Button>
                      ),
                    },
                  ]}
                />
                <div className="spread">
                  <span>{t("recoveryLeft", { count: recoveryCodesLeft })}</span>
                  <Button
                    look="quiet"
                    isBusy={renew.isPending}
                    onClick={() =>
                      renew.mutate({}, { onSuccess: (made) => setCodes(made.recoveryCodes) })
                    }
                  >
                    {t("renewCodes")}
                  </Button>
                </div>
              </>
            )}
          </div>
        )}
      </QueryView>
    </Card>
  );
};
