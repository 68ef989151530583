import type { Role } from "@heelward/domain/access";
import { PenLine, PhoneCall } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../app/current-session.tsx";
import { Button } from "../components/button.tsx";
import { lazyPart } from "../components/lazy-part.tsx";
import type { Choice } from "../components/picker.tsx";
import { usePeopleOf } from "./people.ts";
import { telHref } from "./tel-href.ts";

const WriteNoteDialog = lazyPart(() =>
  import("./write-note-dialog.tsx").then((m) => m.WriteNoteDialog),
);

/** A colleague's name, one tap from a call; afterwards a note of the call is offered, not forced. */
export const CallPerson = ({
  person,
  worksAs,
  horse,
}: {
  readonly person: { readonly id: string; readonly name: string };
  readonly worksAs: Role;
  /** The horse the call is about. */
  readonly horse: Choice;
}) => {
  const { t } = useTranslation("handoffs");
  const { session } = useCurrent();
  const phone = usePeopleOf(worksAs).find((one) => one.id === person.id)?.phone ?? null;
  const [hasRung, setRung] = useState(false);
  const [isWriting, setWriting] = useState(false);
  if (phone === null || person.id === session.person.id) return <>{person.name}</>;
  return (
    <>
      <a className="row" href={telHref(phone)} onClick={() => setRung(true)}>
        <PhoneCall aria-hidden width="1em" />
        {t("call", { name: person.name })}
      </a>
      {hasRung ? (
        <Button look="quiet" icon={<PenLine aria-hidden />} onClick={() => setWriting(true)}>
          {t("noteOfCall")}
        </Button>
      ) : null}
      {isWriting ? <WriteNoteDialog horse={horse} onClose={() => setWriting(false)} /> : null}
    </>
  );
};
