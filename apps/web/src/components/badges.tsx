import {
  Activity,
  Archive,
  BellRing,
  CalendarCheck,
  CalendarClock,
  CircleCheck,
  CircleDashed,
  CirclePause,
  Clock,
  Hourglass,
  Repeat,
  Sprout,
  TrendingDown,
  TriangleAlert,
} from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import styles from "./badges.module.css";
import { classNames } from "./class-names.ts";

export type Tone = "now" | "today" | "soon" | "fine" | "plain";

/** A word with an icon in one of five tones. The word carries the meaning; the tone only helps. */
export const Badge = ({
  tone = "plain",
  icon,
  children,
}: {
  readonly tone?: Tone;
  readonly icon?: ReactNode;
  readonly children: ReactNode;
}) => (
  <span className={classNames(styles["badge"], styles[tone])}>
    {icon}
    {children}
  </span>
);

const PHASES = {
  acute: ["now", Activity],
  subacute: ["today", TrendingDown],
  "chronic active": ["soon", Repeat],
  maintenance: ["fine", Sprout],
  closed: ["plain", Archive],
} as const;

export type PhaseName = keyof typeof PHASES;

/** The phase of a case. */
export const PhasePill = ({ phase }: { readonly phase: string }) => {
  const { t } = useTranslation();
  const [tone, Icon] = PHASES[phase as PhaseName] ?? (["plain", CircleDashed] as const);
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`phase.${phase as PhaseName}`, { defaultValue: phase })}
    </Badge>
  );
};

const URGENCIES = {
  now: ["now", BellRing],
  today: ["today", Clock],
  soon: ["soon", Hourglass],
  later: ["plain", CircleDashed],
} as const;

/** How soon something must be done. */
export const UrgencyBadge = ({ urgency }: { readonly urgency: keyof typeof URGENCIES }) => {
  const { t } = useTranslation();
  const [tone, Icon] = URGENCIES[urgency];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`urgency.${urgency}`)}
    </Badge>
  );
};

const RESETS = {
  "not due": ["plain", CircleDashed],
  "due soon": ["soon", CalendarClock],
  due: ["today", Clock],
  amber: ["today", TriangleAlert],
  red: ["now", BellRing],
  paused: ["plain", CirclePause],
  booked: ["fine", CalendarCheck],
  done: ["fine", CircleCheck],
  dropped: ["plain", Archive],
} as const;

/** Where a reset stands against its due day; `daysLate` is negative before it. */
export const DueBadge = ({
  state,
  daysLate,
}: {
  readonly state: keyof typeof RESETS;
  readonly daysLate: number;
}) => {
  const { t } = useTranslation();
  const [tone, Icon] = RESETS[state];
  const words =
    (state === "amber" || state === "red") && daysLate > 0
      ? t("reset.late", { count: daysLate })
      : (state === "due soon" || state === "not due") && daysLate < 0
        ? t("reset.dueIn", { count: -daysLate })
        : t(`reset.${state}`);
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {words}
    </Badge>
  );
};
