import type { SVGProps } from "react";

/** A shoe, open at the heels: our sign for horses in the menu. */
export const Horseshoe = (props: SVGProps<SVGSVGElement>) => (
  <svg
    viewBox="0 0 24 24"
    fill="none"
    stroke="currentColor"
    strokeWidth="2"
    strokeLinecap="round"
    strokeLinejoin="round"
    {...props}
  >
    <path d="M7.500 21.500H5L3.800 16C2 8 6 2.500 12 2.500S22 8 20.200 16L19 21.500h-2.500L16 19c1.500-6 .5-12-4-12S6.500 13 8 19z" />
    <path
      d="M6.200 9.800h.01M8.800 5.500h.01M15.200 5.500h.01M17.800 9.800h.01"
      strokeWidth="1.600"
    />
  </svg>
);
