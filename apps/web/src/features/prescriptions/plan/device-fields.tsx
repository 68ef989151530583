import type { FootPlanView } from "@heelward/contracts";
import { findFill, findFixing, findShoe } from "@heelward/domain/trim";
import { useTranslation } from "react-i18next";
import { SelectField } from "../../../components/field.tsx";
import { SourceNote } from "../../../components/findings.tsx";
import { Link } from "../../../components/link.tsx";
import { useDeviceOptions, usePlannerFigures } from "../../../parts/planner-figures.ts";

type Device = Pick<FootPlanView, "shoe" | "supportFill" | "fixing">;

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
  const own = usePlannerFigures()?.own;
  const options = useDeviceOptions(value);
  const shoe = findShoe(value.shoe, own);
  const fill = findFill(value.supportFill, own);
  const fixing = findFixing(value.fixing, own);
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
          options={options.shoes}
        />
        <SelectField
          label={t("fill")}
          name={`${pointer}supportFill`}
          value={value.supportFill}
          onChange={(next) => onChange({ ...value, supportFill: next })}
          options={options.fills}
        />
        <SelectField
          label={t("fixing")}
          name={`${pointer}fixing`}
          value={value.fixing}
          onChange={(next) => onChange({ ...value, fixing: next })}
          options={options.fixings}
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
        <p className="small">
          <Link href="/own-devices">{t("ownDevices")}</Link>
        </p>
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
