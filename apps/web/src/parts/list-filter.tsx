import { useSearchState } from "../app/use-address.ts";
import { ChoiceField, TextField } from "../components/field.tsx";

/** Groups of a list with how many lines each has, and a word to look for; both stay in the address. */
export const ListFilter = <Group extends string>({
  label,
  all,
  groups,
  find,
}: {
  readonly label: string;
  readonly all: { readonly label: string; readonly count: number };
  /** Those without a line are not offered. */
  readonly groups: readonly {
    readonly value: Group;
    readonly label: string;
    readonly count: number;
  }[];
  readonly find: string;
}) => {
  const { get, set } = useSearchState();
  const show = get("show");
  return (
    <div className="spread">
      <ChoiceField
        label={<span className="only-read">{label}</span>}
        value={show === "" ? "all" : show}
        onChange={(next) => set({ show: next === "all" ? "" : next })}
        options={[
          { value: "all", label: `${all.label} ${String(all.count)}` },
          ...groups
            .filter(({ count }) => count > 0)
            .map((one) => ({ value: one.value, label: `${one.label} ${String(one.count)}` })),
        ]}
      />
      <TextField
        label={<span className="only-read">{find}</span>}
        placeholder={find}
        type="search"
        value={get("q")}
        onChange={(next) => set({ q: next })}
      />
    </div>
  );
};
