import { CalendarSync, LogOut, MonitorSmartphone } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button, ButtonLink } from "../components/button.tsx";
import { ChoiceField } from "../components/field.tsx";
import { chooseLanguage, type Language, LANGUAGES } from "../language/language.ts";
import { useCurrent } from "./current-session.tsx";
import styles from "./shell.module.css";
import { chooseTheme, storedTheme, THEMES } from "./theme.ts";
import { useGo } from "./use-address.ts";
import { useSignOut } from "./use-sign-out.ts";

const initialsOf = (name: string): string =>
  name
    .split(/\s+/)
    .map((part) => part.slice(0, 1))
    .slice(0, 2)
    .join("");

/** Who is signed in, in which role, language and light; and the way out. */
export const AccountMenu = () => {
  const { t, i18n } = useTranslation(["shell", "common"]);
  const { session, role, chooseRole } = useCurrent();
  const [theme, setTheme] = useState(storedTheme);
  const signOut = useSignOut();
  const go = useGo();
  const { person } = session;
  return (
    <>
      <button type="button" className={styles["avatar"]} popoverTarget="account-menu">
        <span aria-hidden>{initialsOf(person.name)}</span>
        <span className="only-read">{`${t("account")}: ${person.name}`}</span>
      </button>
      <div id="account-menu" popover="auto" className={styles["menu"]}>
        <div className="stack">
          <div className={styles["person"]}>
            <strong>{person.name}</strong>
            <div className="quiet small">
              {t(`common:role.${role}`)} · {session.practice.name}
            </div>
          </div>
          {person.roles.length > 1 ? (
            <ChoiceField
              label={t("actingAs")}
              value={role}
              onChange={(next) => {
                chooseRole(next);
                go("/");
              }}
              options={person.roles.map((one) => ({ value: one, label: t(`common:role.${one}`) }))}
            />
          ) : null}
          <ChoiceField
            label={t("theme")}
            value={theme}
            onChange={(next) => {
              chooseTheme(next);
              setTheme(next);
            }}
            options={THEMES.map((one) => ({ value: one, label: t(`themes.${one}`) }))}
          />
          <ChoiceField
            label={t("language")}
            value={(i18n.resolvedLanguage ?? "en") as Language}
            onChange={(next) => void chooseLanguage(next)}
            options={Object.entries(LANGUAGES).map(([value, { name }]) => ({
              value: value as Language,
              label: name,
            }))}
          />
          <div className="stack-tight">
            <ButtonLink href="/calendar" look="quiet" icon={<CalendarSync aria-hidden />}>
              {t("calendar")}
            </ButtonLink>
            <ButtonLink href="/devices" look="quiet" icon={<MonitorSmartphone aria-hidden />}>
              {t("devices")}
            </ButtonLink>
            <Button icon={<LogOut aria-hidden />} onClick={() => void signOut()}>
              {t("signOut")}
            </Button>
          </div>
        </div>
      </div>
    </>
  );
};
