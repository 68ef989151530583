import { Siren } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../api/client.ts";
import { useCurrent } from "../app/current-session.tsx";
import { Button } from "../components/button.tsx";
import { useFormat } from "../language/format.ts";
import styles from "./red-flag-button.module.css";
import { telHref } from "./tel-href.ts";

/** A horse that may be meant. */
export interface Meant {
  readonly id: string;
  readonly name: string;
}

/**
 * Rings the number on call with one press and logs the press; without signal the log waits on the
 * device. Where several horses may be meant, it asks afterwards, never before.
 */
export const RedFlagButton = ({
  phone,
  horse,
  horses = [],
}: {
  /** The number on call; the practice's where none is given. */
  readonly phone?: string | null | undefined;
  /** The horse of the page. */
  readonly horse?: Meant | undefined;
  readonly horses?: readonly Meant[] | undefined;
}) => {
  const { t } = useTranslation("offline");
  const { session } = useCurrent();
  const format = useFormat();
  const [rungAt, setRungAt] = useState<string>();
  const [told, setTold] = useState<string>();
  const number = phone ?? session.practice.phone;
  if (number === null) return <p className={styles["none"]}>{t("red.noNumber")}</p>;
  const press = () => {
    const pressedAt = new Date().toISOString();
    setRungAt(pressedAt);
    setTold(undefined);
    // The call itself goes over the telephone and must not wait for this.
    void call("logRedFlagCall", {
      body: {
        numberDialled: number,
        pressedAt,
        ...(horse === undefined ? {} : { horseId: horse.id }),
      },
    }).catch((error: unknown) => console.error("the call was not logged", error));
  };
  const tell = (meant: Meant) => {
    setTold(meant.name);
    void call("writeHandoffNote", {
      body: {
        horseId: meant.id,
        toRole: "vet",
        urgent: true,
        situation: t("red.situation", { horse: meant.name }),
        found: t("red.found", { time: rungAt === undefined ? "" : format.time(rungAt) }),
        mustDo: t("red.mustDo"),
      },
    }).catch((error: unknown) => console.error("the note was not written", error));
  };
  return (
    <div className={styles["box"]}>
      <a className={styles["button"]} href={telHref(number)} onClick={press}>
        <Siren aria-hidden />
        <span>
          {t("red.button", { number: number.replaceAll(" ", "\u00a0") })}
          <small>{t("red.hint")}</small>
        </span>
      </a>
      {rungAt === undefined || horse !== undefined || horses.length === 0 ? null : (
        <output className="stack-tight">
          {told === undefined ? (
            <>
              <p>
                <strong>{t("red.rung", { time: format.time(rungAt) })}</strong>
              </p>
              <div className="row">
                {horses.map((one) => (
                  <Button key={one.id} size="large" onClick={() => tell(one)}>
                    {one.name}
                  </Button>
                ))}
              </div>
            </>
          ) : (
            <p>
              <strong>{t("red.told", { horse: told })}</strong>
            </p>
          )}
        </output>
      )}
    </div>
  );
};
