import type { LabResult } from "@heelward/contracts";
import { ArrowDown, ArrowUp, CircleCheck, CircleDashed } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";

type Standing = "inside" | "above" | "below" | "aboveCutoff" | "underCutoff" | "noRange";

/** How a value lies to what its own laboratory sent: the cut-off of that week first, else the range. */
export const standingOf = ({
  value,
  cutoff,
  rangeLow,
  rangeHigh,
}: Pick<LabResult, "value" | "cutoff" | "rangeLow" | "rangeHigh">): Standing => {
  if (cutoff !== null) return value > cutoff ? "aboveCutoff" : "underCutoff";
  if (rangeLow === null && rangeHigh === null) return "noRange";
  if (rangeHigh !== null && value > rangeHigh) return "above";
  if (rangeLow !== null && value < rangeLow) return "below";
  return "inside";
};

const LOOKS = {
  inside: ["fine", CircleCheck],
  underCutoff: ["fine", CircleCheck],
  above: ["today", ArrowUp],
  aboveCutoff: ["today", ArrowUp],
  below: ["today", ArrowDown],
  noRange: ["plain", CircleDashed],
} as const;

export const ResultStanding = ({ result }: { readonly result: LabResult }) => {
  const { t } = useTranslation("laboratory");
  const standing = standingOf(result);
  const [tone, Icon] = LOOKS[standing];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(standing)}
    </Badge>
  );
};
