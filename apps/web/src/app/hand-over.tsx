import { UsersRound } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Dialog } from "../components/dialog.tsx";
import { useSharedDevice } from "../parts/shared-device.ts";
import { WhoIsThere } from "../parts/who-is-there.tsx";
import { useCurrent } from "./current-session.tsx";
import styles from "./shell.module.css";

/** On a yard's shared device: a button that hands it to somebody else. Two taps, and the page stays. */
export const HandOver = () => {
  const { t } = useTranslation("sharing");
  const { session } = useCurrent();
  const [isOpen, setOpen] = useState(false);
  const device = useSharedDevice();
  if (device === null) return null;
  return (
    <>
      <button type="button" className={styles["hand"]} onClick={() => setOpen(true)}>
        <UsersRound aria-hidden />
        <span>{t("hand")}</span>
      </button>
      <Dialog title={t("whoIsThere")} isOpen={isOpen} onClose={() => setOpen(false)}>
        <WhoIsThere
          people={device.people.filter((one) => one.id !== session.person.id)}
          onDone={() => setOpen(false)}
        />
      </Dialog>
    </>
  );
};
