// How sure, in words and in a rounded figure. The figure is the model's own probability; it is never shown to the last digit.

/** "very likely", "likely", ... for a probability 0..1. */
export function sureWords(probability: number): string {
  if (probability >= 0.85) return 'very likely';
  if (probability >= 0.55) return 'likely';
  if (probability >= 0.3) return 'quite possible';
  if (probability >= 0.12) return 'possible';
  return 'less likely';
}

/** "about 55 %"; below 5 % "under 5 %", above 95 % "over 95 %". */
export function surePercent(probability: number): string {
  if (probability < 0.05) return 'under 5 %';
  if (probability > 0.95) return 'over 95 %';
  return `about ${Math.round(probability * 20) * 5} %`;
}
