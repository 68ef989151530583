import type { ReactNode } from "react";
import styles from "./data-list.module.css";

/** Facts as label and value. Empty values are left to the caller to word. */
export const Facts = ({
  items,
}: {
  readonly items: readonly (readonly [label: ReactNode, value: ReactNode])[];
}) => (
  <dl className={styles["list"]}>
    {items.map(([label, value], index) => (
      <div key={index}>
        <dt>{label}</dt>
        <dd>{value}</dd>
      </div>
    ))}
  </dl>
);

export interface Column<T> {
  readonly key: string;
  readonly label: string;
  readonly cell: (row: T) => ReactNode;
  /** Set where the label would only repeat what the cell says on a phone. */
  readonly hideLabelOnPhone?: boolean;
}

/** A table on a desk, cards on a phone. */
export const Rows = <T,>({
  label,
  rows,
  columns,
  keyOf,
}: {
  readonly label: string;
  readonly rows: readonly T[];
  readonly columns: readonly Column<T>[];
  readonly keyOf: (row: T) => string;
}) => (
  <div className={styles["scroll"]}>
    <table className={styles["rows"]} aria-label={label}>
      <thead>
        <tr>
          {columns.map((column) =>
            // A heading without words is none: the cell below says what its button does.
            column.label === "" ? (
              // oxlint-disable-next-line control-has-associated-label
              <td key={column.key} />
            ) : (
              <th key={column.key} scope="col">
                {column.label}
              </th>
            ),
          )}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={keyOf(row)}>
            {columns.map((column) => (
              <td
                key={column.key}
                data-label={column.hideLabelOnPhone === true ? "" : column.label}
              >
                {column.cell(row)}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);
