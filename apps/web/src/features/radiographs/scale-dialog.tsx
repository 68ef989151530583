import type { RadiographView, ScaleView } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, NumberField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";

type Kind = ScaleView["kind"];

interface Draft {
  readonly lengthMm: string;
  readonly lengthSd: string;
  readonly offsetMm: string;
  readonly offsetSd: string;
  readonly focusMm: string;
  readonly place: "dorsal wall" | "elsewhere";
  readonly mmPerPx: string;
  readonly magnification: string;
  readonly spacingPercent: string;
}

const typed = (value: number | undefined): string => (value === undefined ? "" : String(value));

const draftOf = (scale: ScaleView): Draft => {
  const marker = scale.kind === "marker" ? scale : undefined;
  const spacing = scale.kind === "spacing" ? scale : undefined;
  return {
    lengthMm: typed(marker?.lengthMm),
    lengthSd: typed(marker?.lengthStandardUncertaintyMm ?? 0.2),
    offsetMm: typed(marker?.planeOffsetMm),
    offsetSd: typed(marker?.planeOffsetStandardUncertaintyMm),
    focusMm: typed(marker?.focusToFootMm),
    place: marker?.place ?? "elsewhere",
    mmPerPx: typed(spacing?.mmPerPx),
    magnification: typed(spacing?.magnification ?? 1),
    spacingPercent: typed((spacing?.relativeStandardUncertainty ?? 0.02) * 100),
  };
};

const scaleFrom = (kind: Kind, draft: Draft): ScaleView => {
  const optional = <K extends string>(name: K, text: string) => {
    const value = typedNumber(text);
    return value === undefined ? {} : ({ [name]: value } as Record<K, number>);
  };
  if (kind === "none") return { kind };
  if (kind === "spacing")
    return {
      kind,
      mmPerPx: typedNumber(draft.mmPerPx) ?? 0,
      magnification: typedNumber(draft.magnification) ?? 1,
      relativeStandardUncertainty: (typedNumber(draft.spacingPercent) ?? 2) / 100,
    };
  return {
    kind,
    lengthMm: typedNumber(draft.lengthMm) ?? 0,
    lengthStandardUncertaintyMm: typedNumber(draft.lengthSd) ?? 0.2,
    ...optional("planeOffsetMm", draft.offsetMm),
    ...optional("planeOffsetStandardUncertaintyMm", draft.offsetSd),
    ...optional("focusToFootMm", draft.focusMm),
    place: draft.place,
  };
};

/** Where this film's millimetre comes from, or that it has none. */
export const ScaleDialog = ({
  radiograph,
  onClose,
}: {
  readonly radiograph: RadiographView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const [kind, setKind] = useState<Kind>(radiograph.scale.kind);
  const [draft, set] = useDraft<Draft>(() => draftOf(radiograph.scale));
  const change = useWrite("changeRadiograph");
  const save = () =>
    change.mutate(
      {
        params: { radiographId: radiograph.id },
        body: { scale: scaleFrom(kind, draft) },
        ifMatch: radiograph.version,
      },
      { onSuccess: onClose },
    );
  return (
    <Dialog title={t("scale.title")} isOpen onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={save}
        footer={
          <>
            <Button look="primary" type="submit" isBusy={change.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("scale.lead")}</p>
        <ChoiceField
          label={t("scale.kind")}
          value={kind}
          onChange={setKind}
          options={[
            { value: "marker", label: t("scale.marker") },
            { value: "spacing", label: t("scale.spacing") },
            { value: "none", label: t("scale.none") },
          ]}
        />
        {kind === "none" ? <p>{t("scale.noneMeans")}</p> : null}
        {kind === "marker" ? (
          <>
            <div className="columns">
              <NumberField
                label={t("scale.length")}
                name="scale/lengthMm"
                unit="mm"
                required
                value={draft.lengthMm}
                onChange={set("lengthMm")}
              />
              <NumberField
                label={t("scale.lengthSd")}
                name="scale/lengthStandardUncertaintyMm"
                unit="mm"
                value={draft.lengthSd}
                onChange={set("lengthSd")}
              />
            </div>
            <ChoiceField
              label={t("scale.place")}
              name="scale/place"
              value={draft.place}
              onChange={set("place")}
              options={[
                { value: "dorsal wall", label: t("scale.onWall") },
                { value: "elsewhere", label: t("scale.elsewhere") },
              ]}
            />
            <details>
              <summary>{t("scale.offset")}</summary>
              <div className="stack">
                <p className="quiet small">{t("scale.offsetHint")}</p>
                <div className="columns">
                  <NumberField
                    label={t("scale.offsetMm")}
                    name="scale/planeOffsetMm"
                    unit="mm"
                    isOptional
                    value={draft.offsetMm}
                    onChange={set("offsetMm")}
                  />
                  <NumberField
                    label={t("scale.offsetSd")}
                    name="scale/planeOffsetStandardUncertaintyMm"
                    unit="mm"
                    isOptional
                    value={draft.offsetSd}
                    onChange={set("offsetSd")}
                  />
                  <NumberField
                    label={t("scale.focus")}
                    name="scale/focusToFootMm"
                    unit="mm"
                    isOptional
                    value={draft.focusMm}
                    onChange={set("focusMm")}
                  />
                </div>
              </div>
            </details>
          </>
        ) : null}
        {kind === "spacing" ? (
          <div className="columns">
            <NumberField
              label={t("scale.mmPerPx")}
              name="scale/mmPerPx"
              unit="mm"
              required
              value={draft.mmPerPx}
              onChange={set("mmPerPx")}
            />
            <NumberField
              label={t("scale.magnification")}
              name="scale/magnification"
              value={draft.magnification}
              onChange={set("magnification")}
            />
            <NumberField
              label={t("scale.spacingSd")}
              name="scale/relativeStandardUncertainty"
              unit="%"
              value={draft.spacingPercent}
              onChange={set("spacingPercent")}
            />
          </div>
        ) : null}
      </Form>
    </Dialog>
  );
};
