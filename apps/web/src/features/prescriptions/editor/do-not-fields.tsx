import { Ban, Plus, X } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button, IconButton } from "../../../components/button.tsx";
import { TextField } from "../../../components/field.tsx";
import styles from "./editor.module.css";

/** What must not be done, line by line; `offered` lines come from the planner. */
export const DoNotFields = ({
  lines,
  offered,
  onChange,
}: {
  readonly lines: readonly string[];
  readonly offered: readonly string[];
  readonly onChange: (lines: string[]) => void;
}) => {
  const { t } = useTranslation("prescriptions");
  const [text, setText] = useState("");
  const add = (line: string) => {
    if (line.trim() !== "" && !lines.includes(line.trim())) onChange([...lines, line.trim()]);
  };
  return (
    <div className="stack-tight">
      <ul className={styles["doNots"]}>
        {lines.map((line) => (
          <li key={line}>
            <Ban aria-hidden />
            <span>{line}</span>
            <IconButton
              label={t("removeLine", { line })}
              icon={<X aria-hidden />}
              onClick={() => onChange(lines.filter((one) => one !== line))}
            />
          </li>
        ))}
      </ul>
      <div className={styles["addLine"]}>
        <TextField
          label={t("addDoNot")}
          name="doNot"
          maxLength={300}
          value={text}
          onChange={setText}
          onKeyDown={(event) => {
            if (event.key !== "Enter") return;
            event.preventDefault();
            add(text);
            setText("");
          }}
        />
        <Button
          icon={<Plus aria-hidden />}
          onClick={() => {
            add(text);
            setText("");
          }}
        >
          {t("addLine")}
        </Button>
      </div>
      {offered.length === 0 ? null : (
        <div className="row">
          {offered.map((line) => (
            <Button key={line} look="quiet" icon={<Plus aria-hidden />} onClick={() => add(line)}>
              {line}
            </Button>
          ))}
        </div>
      )}
    </div>
  );
};
