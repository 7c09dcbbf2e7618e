// Conversions between the units of files and screens and the units inside: mm, s, rad, W, J.

/** Radians in one degree. */
export const RAD_PER_DEG = Math.PI / 180;

/** Degrees in one radian. */
export const DEG_PER_RAD = 180 / Math.PI;

/** Fraction in one percent. */
export const FRACTION_PER_PERCENT = 1 / 100;

/** Seconds in one millisecond. */
export const S_PER_MS = 1e-3;
