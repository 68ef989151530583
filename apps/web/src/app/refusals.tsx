import type { Role } from "@heelward/domain/access";
import { Compass, Lock } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { ButtonLink } from "../components/button.tsx";
import { EmptyState } from "../components/states.tsx";
import { useCurrent } from "./current-session.tsx";

/** No such page. */
export const NotFound = () => {
  const { t } = useTranslation();
  return (
    <EmptyState
      icon={<Compass aria-hidden />}
      title={t("nothingHere")}
      action={<ButtonLink href="/">{t("toQueue")}</ButtonLink>}
    >
      {t("nothingHereDetail")}
    </EmptyState>
  );
};

/** Shows a page to the roles it is for; the service refuses the others anyway. */
export const ForRoles = ({
  roles,
  children,
}: {
  readonly roles: readonly Role[];
  readonly children: ReactNode;
}) => {
  const { t } = useTranslation();
  const { session } = useCurrent();
  if (session.person.roles.some((role) => roles.includes(role))) return children;
  return (
    <EmptyState
      icon={<Lock aria-hidden />}
      title={t("notForRole")}
      action={<ButtonLink href="/">{t("toQueue")}</ButtonLink>}
    >
      {t("notForRoleDetail", { roles: roles.map((role) => t(`role.${role}`)).join(", ") })}
    </EmptyState>
  );
};
