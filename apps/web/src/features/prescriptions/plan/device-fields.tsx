import type { FootPlanView } from "@heelward/contracts";
import {
  FILL_CATALOGUE,
  findFill,
  findShoe,
  FIXING_CATALOGUE,
  SHOE_CATALOGUE,
} from "@heelward/domain/trim";
import { useTranslation } from "react-i18next";
import { SelectField } from "../../../components/field.tsx";
import { SourceNote } from "../../../components/findings.tsx";

type Device = Pick<FootPlanView, "shoe" | "supportFill" | "fixing">;

const optionsOf = (entries: readonly { readonly id: string; readonly name: string }[]) =>
  entries.map(({ id, name }) => ({ value: id, label: name }));

/** Shoe, fill and fixing from the catalogue, with what each does and when not to use it. */
export const DeviceFields = ({
  value,
  onChange,
  pointer,
}: {
  readonly value: Device;
  readonly onChange: (device: Device) => void;
  /** JSON pointer of the foot in the request. */
  readonly pointer: string;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const shoe = findShoe(value.shoe);
  const fill = findFill(value.supportFill);
  const fixing = FIXING_CATALOGUE.find((one) => one.id === value.fixing);
  const chosen = [shoe, fill, fixing].filter((one) => one !== undefined);
  const warnings = chosen.flatMap((one) => one.doNotUse);
  return (
    <>
      <div className="columns">
        <SelectField
          label={t("shoe")}
          name={`${pointer}shoe`}
          value={value.shoe}
          onChange={(next) => onChange({ ...value, shoe: next })}
          options={optionsOf(SHOE_CATALOGUE)}
        />
        <SelectField
          label={t("fill")}
          name={`${pointer}supportFill`}
          value={value.supportFill}
          onChange={(next) => onChange({ ...value, supportFill: next })}
          options={optionsOf(FILL_CATALOGUE)}
        />
        <SelectField
          label={t("fixing")}
          name={`${pointer}fixing`}
          value={value.fixing}
          onChange={(next) => onChange({ ...value, fixing: next })}
          options={optionsOf(FIXING_CATALOGUE)}
        />
      </div>
      <details>
        <summary>{t("deviceNotes")}</summary>
        <ul className="small">
          {chosen.map((one) => (
            <li key={one.name}>
              <strong>{one.name}:</strong> {one.does}
              <SourceNote source={one.source} />
            </li>
          ))}
        </ul>
        {warnings.length === 0 ? null : (
          <>
            <strong className="small">{t("doNotUse")}</strong>
            <ul className="small">
              {warnings.map((one) => (
                <li key={one}>{one}</li>
              ))}
            </ul>
          </>
        )}
      </details>
    </>
  );
};
