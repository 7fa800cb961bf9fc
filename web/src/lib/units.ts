export const MM_PER_INCH = 25.4;

export const LANGUAGES = ['en', 'de'] as const;
export type Language = (typeof LANGUAGES)[number];

export const LENGTHS = ['mm', 'inch'] as const;
export type Lengths = (typeof LENGTHS)[number];

export const LOOKS = ['device', 'bright', 'contrast', 'dim'] as const;
export type LookChoice = (typeof LOOKS)[number];
