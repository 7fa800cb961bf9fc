import type { CheckWords } from './en';
import type { checksEn } from './checks.en';

/** German words for each check; the title stands above the server's English sentence. */
export const checksDe: Record<keyof typeof checksEn, Required<CheckWords>> = {
  'travel-exceeded': {
    brief: 'über den Weg',
    title: 'Eine Achse soll über ihren Verfahrweg hinaus',
  },
  'outside-sheet': { brief: 'neben der Platte', title: 'Ein Schnitt läuft neben der Platte' },
  'outside-table': { brief: 'neben dem Tisch', title: 'Das Werkzeug läuft über den Tisch hinaus' },
  'into-stop': { brief: 'in den Anschlag', title: 'Das Werkzeug läuft in einen Anschlag' },
  'too-deep': { brief: 'zu tief', title: 'Der Schnitt geht tiefer, als die Opferplatte erlaubt' },
  'work-offset-unknown': {
    brief: 'Nullpunkt fehlt',
    title: 'Ein Nullpunkt ist für diese Maschine nicht beschrieben',
  },
  'tool-unknown': { brief: 'unbekannt', title: 'Das Programm ruft ein unbekanntes Werkzeug' },
  'tool-never-called': {
    brief: 'kein Werkzeug',
    title: 'Es wird geschnitten, ohne dass ein Werkzeug gerufen ist',
  },
  'tool-not-in-magazine': { brief: 'nicht im Magazin', title: 'Ein Werkzeug ist nicht im Magazin' },
  'tool-not-measured': { brief: 'nicht gemessen', title: 'Ein Werkzeug ist nicht gemessen' },
  'length-not-applied': { brief: 'ohne Länge', title: 'Die Werkzeuglänge wird nicht verrechnet' },
  'rating-missing': {
    brief: 'keine Höchstdrehzahl',
    title: 'Zu einem Werkzeug fehlt die Höchstdrehzahl',
  },
  'speed-above-rating': {
    brief: 'dreht zu schnell',
    title: 'Die Drehzahl liegt über der des Werkzeugs',
  },
  'speed-outside-spindle': {
    brief: 'Drehzahlbereich',
    title: 'Die Drehzahl liegt außerhalb des Spindelbereichs',
  },
  'rapid-below-surface': {
    brief: 'Eilgang zu tief',
    title: 'Eilgang unter der Oberseite der Platte',
  },
  'cut-without-spindle': {
    brief: 'Spindel steht',
    title: 'Es wird geschnitten, während die Spindel steht',
  },
  'feed-above-axis': {
    brief: 'Vorschub zu hoch',
    title: 'Der Vorschub ist schneller als die Achse',
  },
  'feed-zero': { brief: 'kein Vorschub', title: 'Eine Schnittbewegung hat keinen Vorschub' },
  'plane-not-stated': { brief: 'Ebene fehlt', title: 'Die Ebene ist nirgends genannt' },
  'units-not-stated': { brief: 'Einheit fehlt', title: 'Die Maßeinheit ist nirgends genannt' },
  'program-not-ended': { brief: 'kein Ende', title: 'Das Programm hat kein Ende' },
  'life-runs-out': {
    brief: 'Standzeit endet',
    title: 'Die Standzeit eines Werkzeugs endet unterwegs',
  },
  'body-touches': { brief: 'Schaft berührt', title: 'Schaft oder Halter berührt die Platte' },
  'sheet-not-mapped': {
    brief: 'Platte unklar',
    title: 'Das Material kann auf dieser Platte nicht verfolgt werden',
  },
  'deeper-than-edge': {
    brief: 'tiefer als Schneide',
    title: 'Ein Schnitt ist tiefer, als die Schneide lang ist',
  },
  'plunge-not-possible': {
    brief: 'taucht nicht ein',
    title: 'Ein Werkzeug taucht ein, das es nicht kann',
  },
  'slot-too-deep': {
    brief: 'Nut zu tief',
    title: 'Eine volle Nut ist tiefer als die Regel des Materials',
  },
  'chip-too-thin': {
    brief: 'Span zu dünn',
    title: 'Der Span ist dünner als das Fenster des Materials',
  },
  'chip-too-thick': {
    brief: 'Span zu dick',
    title: 'Der Span ist dicker als das Fenster des Materials',
  },
  'power-above-spindle': {
    brief: 'zu viel Leistung',
    title: 'Der Schnitt verlangt mehr Leistung, als die Spindel gibt',
  },
  'torque-above-spindle': {
    brief: 'zu viel Drehmoment',
    title: 'Der Schnitt verlangt mehr Drehmoment, als die Spindel gibt',
  },
  'deflection-above-tolerance': {
    brief: 'Werkzeug biegt',
    title: 'Das Werkzeug biegt sich mehr als erlaubt',
  },
  'conventional-where-climb': {
    brief: 'Gegenlauf',
    title: 'Gegenlauf, wo Gleichlauf verlangt ist',
  },
  'knife-corner-without-lift': {
    brief: 'Ecke ohne Heben',
    title: 'Das Messer dreht in der Ecke ohne Heben',
  },
  'knife-turns-too-fast': {
    brief: 'dreht zu schnell',
    title: 'Das Messer müsste schneller drehen, als die Achse kann',
  },
};
