import type { CareDay } from "@heelward/contracts";
import {
  AlarmClock,
  Ban,
  CircleCheck,
  CircleOff,
  CirclePause,
  CircleX,
  Clock,
  Hourglass,
  PhoneCall,
  TriangleAlert,
} from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";

const STATES = {
  due: ["today", Clock],
  late: ["now", AlarmClock],
  later: ["plain", Hourglass],
  given: ["fine", CircleCheck],
  refused: ["today", Ban],
  "spat out": ["today", CircleX],
  "not given": ["plain", CircleOff],
  missed: ["today", TriangleAlert],
  held: ["now", CirclePause],
  "needs vet": ["now", PhoneCall],
} as const;

/** How a dose stands, in words. */
export const DoseState = ({ state }: { readonly state: CareDay["doses"][number]["state"] }) => {
  const { t } = useTranslation("care");
  const [tone, Icon] = STATES[state];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`states.${state}`)}
    </Badge>
  );
};
