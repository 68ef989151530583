import type { ReactNode } from "react";
import { Tab, TabList, TabPanel, Tabs as AriaTabs } from "react-aria-components/Tabs";
import styles from "./tabs.module.css";

export interface TabItem {
  readonly id: string;
  readonly label: string;
  readonly count?: number | undefined;
  readonly content: ReactNode;
}

/** Tabs over one thing; the chosen one belongs to the address (see `useSearchState`). */
export const Tabs = ({
  label,
  items,
  selected,
  onSelect,
}: {
  readonly label: string;
  readonly items: readonly TabItem[];
  readonly selected: string;
  readonly onSelect: (id: string) => void;
}) => (
  <AriaTabs selectedKey={selected} onSelectionChange={(key) => onSelect(String(key))}>
    <TabList aria-label={label} className={styles["list"] ?? ""}>
      {items.map((item) => (
        <Tab key={item.id} id={item.id} className={styles["tab"] ?? ""}>
          {item.label}
          {item.count === undefined || item.count === 0 ? null : (
            <span className={styles["count"]}>{item.count}</span>
          )}
        </Tab>
      ))}
    </TabList>
    {items.map((item) => (
      <TabPanel key={item.id} id={item.id} className={styles["panel"] ?? ""}>
        {item.content}
      </TabPanel>
    ))}
  </AriaTabs>
);
