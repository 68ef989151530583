import type { Person } from "@heelward/contracts";
import { KeyRound, Link as LinkIcon } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { ErrorState } from "../../components/states.tsx";
import { CopyLink } from "../../parts/copy-link.tsx";

/** For somebody who cannot sign in: a link to a new password, or a fresh start after a lost phone. */
export const SignInHelp = ({ person }: { readonly person: Person }) => {
  const { t } = useTranslation("people");
  const link = useWrite("handOutNewPassword");
  const clear = useWrite("clearFactors");
  const error = link.error ?? clear.error;
  const at = { params: { personId: person.id } };
  return (
    <section className="stack-tight" aria-label={t("help")}>
      <h3>{t("help")}</h3>
      <p className="quiet small">{t("helpLead")}</p>
      <div className="row">
        <Button
          icon={<LinkIcon aria-hidden />}
          isBusy={link.isPending}
          onClick={() => link.mutate(at)}
        >
          {t("helpLink")}
        </Button>
        <Button
          look="danger"
          icon={<KeyRound aria-hidden />}
          isBusy={clear.isPending}
          onClick={() => clear.mutate(at)}
        >
          {t("helpClear")}
        </Button>
      </div>
      {clear.isSuccess ? <output>{t("helpCleared", { name: person.name })}</output> : null}
      {error === null ? null : <ErrorState error={error} />}
      {link.data === undefined ? null : (
        <>
          <p>{t("helpLinkText", { name: person.name })}</p>
          <CopyLink
            link={link.data.link}
            label={t("helpLink")}
            copy={t("copy")}
            copied={t("copied")}
          />
        </>
      )}
    </section>
  );
};
