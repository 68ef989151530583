import type { PersonOnDevice } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../components/button.tsx";
import { Form } from "../components/form.tsx";
import { ErrorState } from "../components/states.tsx";
import { useFormat } from "../language/format.ts";
import { PinPad } from "./pin-pad.tsx";
import styles from "./pin-pad.module.css";
import { useHandOver } from "./shared-device.ts";

const initialsOf = (name: string): string =>
  name
    .split(/\s+/u)
    .map((part) => part.slice(0, 1))
    .slice(0, 2)
    .join("");

/**
 * The people of a shared device. One tap for who typed the PIN within the last twelve hours, the PIN
 * for the others.
 */
export const WhoIsThere = ({
  people,
  onDone,
}: {
  readonly people: readonly PersonOnDevice[];
  readonly onDone: () => void;
}) => {
  const { t } = useTranslation(["sharing", "common"]);
  const format = useFormat();
  const [asked, setAsked] = useState<PersonOnDevice>();
  const [pin, setPin] = useState("");
  const hand = useHandOver(onDone);
  const how = (person: PersonOnDevice): string => {
    if (person.lockedUntil !== null) return t("locked", { time: format.time(person.lockedUntil) });
    if (person.isHere) return t("oneTap");
    return person.hasPin ? t("withPin") : t("noPin");
  };
  if (asked !== undefined)
    return (
      <Form
        problem={hand.error}
        onSubmit={() => hand.mutate({ personId: asked.id, pin }, { onError: () => setPin("") })}
        footer={
          <Button
            look="quiet"
            onClick={() => {
              setAsked(undefined);
              hand.reset();
            }}
          >
            {t("common:back")}
          </Button>
        }
      >
        <h3>{t("pinFor", { name: asked.name })}</h3>
        <PinPad pin={pin} onChange={setPin} onDone={() => undefined} isBusy={hand.isPending} />
      </Form>
    );
  return (
    <>
      {hand.error === null ? null : <ErrorState error={hand.error} />}
      <ul className={styles["people"]}>
        {people.map((person) => (
          <li key={person.id}>
            <button
              type="button"
              className={styles["face"]}
              disabled={(!person.hasPin && !person.isHere) || person.lockedUntil !== null}
              onClick={() => {
                setPin("");
                if (person.isHere) hand.mutate({ personId: person.id });
                else setAsked(person);
              }}
            >
              <span className={styles["initials"]} aria-hidden>
                {initialsOf(person.name)}
              </span>
              {person.name}
              <span className={styles["how"]}>{how(person)}</span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
};
