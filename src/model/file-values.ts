// Kinds of values that files share: lengths, angles, points, names, each with the range that makes sense at all.
import { z } from 'zod';

export const mm = () => z.number().min(-1e6).max(1e6);
export const positiveMm = () => z.number().gt(0).max(1e6);
export const degrees = () => z.number().min(-360).max(360);
export const point = () => z.tuple([mm(), mm(), mm()]);
export const key = () => z.string().min(1).max(200);
