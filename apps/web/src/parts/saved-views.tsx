import { Bookmark, Pencil, Trash2 } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../api/use-call.ts";
import { useCurrent } from "../app/current-session.tsx";
import { useSearchState } from "../app/use-address.ts";
import { Button, IconButton } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { TextField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";
import { type Preferences, usePreferences } from "./preferences.ts";
import styles from "./saved-views.module.css";

type View = Preferences["queueViews"][number];

/** As many as the service keeps. */
const MOST = 12;
const FILTERS = ["show", "q"] as const;

const NameDialog = ({
  title,
  known,
  taken,
  onName,
  onClose,
  problem,
  isBusy,
}: {
  readonly title: string;
  readonly known: string;
  readonly taken: readonly string[];
  readonly onName: (name: string) => void;
  readonly onClose: () => void;
  readonly problem: Error | null;
  readonly isBusy: boolean;
}) => {
  const { t } = useTranslation(["queues", "common"]);
  const [name, setName] = useState(known);
  const typed = name.trim();
  const isTaken = typed !== known && taken.includes(typed);
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      <Form
        problem={problem}
        onSubmit={() => onName(typed)}
        footer={
          <>
            <Button type="submit" look="primary" isBusy={isBusy} disabled={typed === "" || isTaken}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <TextField
          label={t("views.name")}
          maxLength={40}
          required
          value={name}
          onChange={setName}
          hint={isTaken ? t("views.taken") : undefined}
        />
      </Form>
    </Dialog>
  );
};

/** The views a person saved of one board: choose, save the present filter, rename, delete. */
export const SavedViews = ({ board }: { readonly board: "queue" | "morning" }) => {
  const { t } = useTranslation("queues");
  const { role } = useCurrent();
  const { get, set } = useSearchState();
  const preferences = usePreferences();
  const change = useWrite("changePreferences");
  const [naming, setNaming] = useState<View | "new">();
  if (preferences === undefined) return null;
  const all = preferences.queueViews;
  const isOwn = (one: View) => one.role === role && (one.filters["board"] ?? "queue") === board;
  const own = all.filter(isOwn);
  const isOn = (one: View) => FILTERS.every((key) => (one.filters[key] ?? "") === get(key));
  const isFiltered = FILTERS.some((key) => get(key) !== "");
  const chosen = own.find(isOn);
  const keep = (queueViews: readonly View[]) =>
    change.mutate(
      { body: { queueViews: [...queueViews] } },
      { onSuccess: () => setNaming(undefined) },
    );
  const present = (name: string): View => ({
    name,
    role,
    filters: {
      board,
      ...Object.fromEntries(
        FILTERS.flatMap((key) => (get(key) === "" ? [] : [[key, get(key)] as const])),
      ),
    },
  });
  if (own.length === 0 && !isFiltered) return null;
  return (
    <section className={styles["bar"]} aria-label={t("views.title")}>
      {own.map((one) => (
        <button
          key={one.name}
          type="button"
          className={styles["view"]}
          aria-pressed={one === chosen}
          onClick={() =>
            set(
              Object.fromEntries(
                FILTERS.map((key) => [key, one === chosen ? "" : (one.filters[key] ?? "")]),
              ),
            )
          }
        >
          <Bookmark aria-hidden /> {one.name}
        </button>
      ))}
      {chosen === undefined ? null : (
        <>
          <IconButton
            label={t("views.rename", { name: chosen.name })}
            icon={<Pencil aria-hidden />}
            onClick={() => setNaming(chosen)}
          />
          <IconButton
            label={t("views.delete", { name: chosen.name })}
            icon={<Trash2 aria-hidden />}
            onClick={() => keep(all.filter((one) => one !== chosen))}
          />
        </>
      )}
      {isFiltered && chosen === undefined && all.length < MOST ? (
        <Button look="quiet" icon={<Bookmark aria-hidden />} onClick={() => setNaming("new")}>
          {t("views.save")}
        </Button>
      ) : null}
      {naming === undefined ? null : (
        <NameDialog
          title={naming === "new" ? t("views.save") : t("views.rename", { name: naming.name })}
          known={naming === "new" ? "" : naming.name}
          taken={own.map((one) => one.name)}
          problem={change.error}
          isBusy={change.isPending}
          onClose={() => setNaming(undefined)}
          onName={(name) =>
            keep(
              naming === "new"
                ? [...all, present(name)]
                : all.map((one) => (one === naming ? { ...one, name } : one)),
            )
          }
        />
      )}
    </section>
  );
};
