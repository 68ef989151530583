import {
  Bone,
  CalendarClock,
  CircleDot,
  FileText,
  Footprints,
  MailOpen,
  PhoneIncoming,
  Pill,
  Scale,
  Stethoscope,
  Waypoints,
} from "lucide-react";

const ICONS = {
  call: PhoneIncoming,
  phone: PhoneIncoming,
  examination: Stethoscope,
  check: Stethoscope,
  film: Bone,
  radiograph: Bone,
  prescription: FileText,
  shoeing: Footprints,
  reset: CalendarClock,
  medicine: Pill,
  dose: Pill,
  course: Pill,
  weighing: Scale,
  note: MailOpen,
  handoff: MailOpen,
  phase: Waypoints,
} as const;

/** The picture of a kind of event; a dot for kinds without one. */
export const EventIcon = ({ kind }: { readonly kind: string }) => {
  const key = Object.keys(ICONS).find((one) => kind.includes(one));
  const Icon = key === undefined ? CircleDot : ICONS[key as keyof typeof ICONS];
  return <Icon />;
};
