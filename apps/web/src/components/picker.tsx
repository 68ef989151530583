import { useState } from "react";
import { useTranslation } from "react-i18next";
import {
  ComboBox,
  Input,
  Label,
  ListBox,
  ListBoxItem,
  Popover,
} from "react-aria-components/ComboBox";
import styles from "./picker.module.css";

export interface Choice {
  readonly id: string;
  readonly name: string;
  readonly detail?: string;
}

/**
 * Choose one of a list by typing part of its name. The caller searches: `onSearch` is told what was
 * typed and `choices` are what was found.
 */
export const Picker = ({
  label,
  choices,
  value,
  valueName,
  onChoose,
  onSearch,
  isRequired = false,
}: {
  readonly label: string;
  readonly choices: readonly Choice[];
  readonly value: string | null;
  /** The name of what is chosen already. */
  readonly valueName?: string | undefined;
  readonly onChoose: (choice: Choice | null) => void;
  readonly onSearch: (text: string) => void;
  readonly isRequired?: boolean;
}) => {
  const { t } = useTranslation();
  const [text, setText] = useState(valueName ?? "");
  return (
    <ComboBox
      className={styles["box"] ?? ""}
      selectedKey={value}
      inputValue={text}
      items={choices}
      isRequired={isRequired}
      allowsEmptyCollection
      menuTrigger="focus"
      onInputChange={(typed) => {
        setText(typed);
        onSearch(typed);
      }}
      onSelectionChange={(key) => {
        const chosen = choices.find((choice) => choice.id === key) ?? null;
        if (chosen !== null) setText(chosen.name);
        onChoose(chosen);
      }}
    >
      <Label className={styles["label"] ?? ""}>{label}</Label>
      <Input className={styles["input"] ?? ""} placeholder={t("whoIsIt")} />
      <Popover className={styles["list"] ?? ""}>
        <ListBox renderEmptyState={() => <div className={styles["none"]}>{t("noMatch")}</div>}>
          {(choice: Choice) => (
            <ListBoxItem id={choice.id} textValue={choice.name} className={styles["option"] ?? ""}>
              {choice.name}
              {choice.detail === undefined ? null : <small>{choice.detail}</small>}
            </ListBoxItem>
          )}
        </ListBox>
      </Popover>
    </ComboBox>
  );
};
