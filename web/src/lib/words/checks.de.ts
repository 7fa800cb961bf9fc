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
};
