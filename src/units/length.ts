/** Lengths. Metres inside; these factors are exact by definition. */

export const M_PER_FT = 0.3048;
export const M_PER_FATHOM = 6 * M_PER_FT;
export const M_PER_NM = 1852;
export const M_PER_IN = 0.0254;
