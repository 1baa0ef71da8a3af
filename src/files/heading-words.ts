/**
 * What venues write above their columns, in English, German, French, Spanish and Dutch. Common practice, no source.
 * `sure` means one thing in a table of roof points or members. `doubtful` may mean another (a "load" may be what hangs there
 * instead of what may hang): it is asked about, never taken. Breaking strengths and the date of the last inspection are in neither.
 * Written as `headingKey` writes: lower case, no accents, words parted by one space.
 */
export type HeadingWords = { sure: readonly string[]; doubtful: readonly string[] };

export const words = (sure: string, doubtful = ''): HeadingWords => ({ sure: list(sure), doubtful: list(doubtful) });
const list = (text: string): string[] =>
  text
    .split('|')
    .map((each) => each.trim())
    .filter((each) => each !== '');

const AXIS_X =
  'x | x axis | x coord | x coordinate | x pos | x position | pos x | coord x | x koordinate | x achse | coordonnee x | coordenada x | x coordinaat';
const AXIS_Y =
  'y | y axis | y coord | y coordinate | y pos | y position | pos y | coord y | y koordinate | y achse | coordonnee y | coordenada y | y coordinaat';
const AXIS_Z =
  'z | z axis | z coord | z coordinate | z pos | z position | pos z | coord z | z koordinate | z achse | coordonnee z | coordenada z | z coordinaat | height | point height | elevation | hohe | hoehe | hauteur | altura | hoogte';

export const POINT_HEADINGS = {
  label: words(
    'label | point | point label | point name | point no | point number | point id | roof point | rigging point | hang point | hanging point | punkt | punktname | punkt nr | punktnummer | hangepunkt | haengepunkt | anschlagpunkt | lastpunkt | bezeichnung | point d accroche | point d accrochage | nom du point | repere | punto | punto de anclaje | punto de cuelgue | nombre del punto | etiqueta | ophangpunt | hijspunt | punt | puntnummer',
    'name | no | nr | number | id | tag | ref | reference | nummer | numero | nom | nombre | naam',
  ),
  xM: words(AXIS_X),
  yM: words(AXIS_Y),
  zM: words(AXIS_Z, 'level | trim'),
  wllKg: words(
    'wll | swl | working load limit | safe working load | working load | max working load | max load | maximum load | allowable load | permissible load | capacity | load capacity | rated capacity | rated load | load rating | rating | point capacity | tragfahigkeit | tragfaehigkeit | traglast | max traglast | zul last | zul traglast | zulassige last | zulaessige last | max last | maximallast | cmu | charge maximale d utilisation | charge max | charge maximale | charge admissible | capacite | capacite de charge | carga maxima | carga max | carga maxima de trabajo | carga de trabajo | carga admisible | capacidad | capacidad de carga | werklast | draagvermogen | draagkracht | max belasting | maximale belasting | toelaatbare belasting',
    'load | point load | nutzlast | last | punktlast | charge | carga | belasting | weight | gewicht',
  ),
  memberLabel: words(
    'member | beam | girder | truss | purlin | joist | member label | beam label | girder label | trager | traeger | binder | pfette | unterzug | poutre | ferme | panne | viga | cercha | correa | ligger | balk | spant | gording',
    'grid | axis | line | achse | bay | feld',
  ),
  stationM: words(
    'station | distance along member | distance along beam | position on member | position on beam | along member | along beam | station am trager | station auf trager | position am trager | abscisse | position sur poutre | posicion en viga | positie op ligger',
    'position | pos | distance | offset | abstand | distancia | afstand',
  ),
  attachment: words(
    'attachment | attachment type | fixing | fixing type | anchor type | connection | connection type | point type | anschlag | anschlagart | befestigung | befestigungsart | fixation | type de fixation | fijacion | tipo de fijacion | bevestiging | type bevestiging',
    'type | typ | art | tipo | kind',
  ),
  access: words('access | access by | how to reach | zugang | zuganglichkeit | acces | accessibilite | acceso | toegang | bereikbaarheid'),
  state: words('state | status | condition | in service | zustand | etat | statut | estado | toestand'),
  stateReason: words('reason | state reason | reason for state | grund | begrundung | motif | raison | motivo | razon | reden'),
  inspectionDue: words(
    'inspection due | next inspection | inspection due date | due date | next inspection date | inspect by | retest due | next test | nachste prufung | naechste pruefung | prufung fallig | pruefung faellig | prochaine inspection | prochain controle | prochaine verification | proxima inspeccion | proxima revision | volgende inspectie | volgende keuring | keuring voor',
    'inspection | inspection date | prufung | pruefung | inspeccion | keuring',
  ),
  maxAngleDeg: words(
    'max angle | maximum angle | angle | largest angle | allowable angle | bridle angle | max angle off vertical | max angle from vertical | angle off vertical | angle from vertical | max angle from horizontal | angle from horizontal | max winkel | winkel | max winkel zur vertikalen | winkel zur vertikalen | neigungswinkel | angle max | angle maximal | angle par rapport a la verticale | angulo | angulo max | angulo maximo | angulo con la vertical | max hoek | maximale hoek | hoek | hoek t o v verticaal',
  ),
  sidewaysKn: words(
    'sideways | sideways force | sideways load | max sideways | side load | max side load | horizontal load | horizontal force | max horizontal load | max horizontal force | lateral load | lateral force | horizontallast | horizontalkraft | max horizontalkraft | seitenlast | seitenkraft | charge horizontale | effort horizontal | force horizontale | carga horizontal | fuerza horizontal | carga lateral | horizontale belasting | horizontale kracht | zijdelingse belasting',
  ),
  basisText: words(
    'basis | capacity basis | source | report | calculation | load test | document | certificate | nachweis | statik | prufbericht | pruefbericht | gutachten | quelle | grundlage | justificatif | note de calcul | rapport | certificat | fuente | informe | calculo | certificado | bron | berekening | certificaat | keuringsrapport',
    'base',
  ),
} as const satisfies Record<string, HeadingWords>;

type Axis = 'x' | 'y' | 'z';
const fromAxis = (axis: Axis): HeadingWords =>
  words(
    `from ${axis} | start ${axis} | ${axis} from | ${axis} start | ${axis}1 | ${axis} 1 | von ${axis} | anfang ${axis} | debut ${axis} | inicio ${axis} | begin ${axis}`,
  );
const toAxis = (axis: Axis): HeadingWords =>
  words(
    `to ${axis} | end ${axis} | ${axis} to | ${axis} end | ${axis}2 | ${axis} 2 | bis ${axis} | ende ${axis} | fin ${axis} | eind ${axis}`,
  );

export const MEMBER_HEADINGS = {
  label: words(
    'label | member | member label | member name | member no | beam | beam label | girder | truss | purlin | joist | trager | traeger | tragername | binder | pfette | unterzug | bezeichnung | poutre | ferme | panne | repere | viga | cercha | correa | etiqueta | ligger | balk | spant | gording',
    'name | no | nr | number | id | tag | ref | reference | nummer | numero | nom | nombre | naam',
  ),
  fromNodeLabel: words(
    'from | from node | start node | node 1 | node i | node from | node a | von | von knoten | anfangsknoten | knoten 1 | knoten i | noeud de depart | noeud 1 | noeud debut | nudo inicial | nudo inicio | nudo 1 | van knoop | beginknoop | knoop 1',
    'start | begin | anfang | debut | inicio | van | desde | de',
  ),
  toNodeLabel: words(
    'to | to node | end node | node 2 | node j | node to | node b | bis | nach knoten | bis knoten | endknoten | knoten 2 | knoten j | noeud d arrivee | noeud 2 | noeud fin | nudo final | nudo fin | nudo 2 | naar knoop | eindknoop | knoop 2',
    'end | ende | fin | tot | naar | hasta | a | nach',
  ),
  fromXM: fromAxis('x'),
  fromYM: fromAxis('y'),
  fromZM: fromAxis('z'),
  toXM: toAxis('x'),
  toYM: toAxis('y'),
  toZM: toAxis('z'),
  selfWeightKgPerM: words(
    'self weight | selfweight | own weight | member self weight | eigengewicht | eigenlast | poids propre | peso propio | eigen gewicht',
    'weight | gewicht | poids | peso | mass | masse',
  ),
  deadLoadKgPerM: words(
    'dead load | superimposed dead load | additional dead load | permanent load | standige last | staendige last | ausbaulast | charge permanente | charges permanentes | carga permanente | carga muerta | permanente belasting | rustende belasting',
    'load | last | charge | carga | belasting',
  ),
  youngsModulusPa: words(
    'e | e modulus | modulus of elasticity | young s modulus | youngs modulus | elastic modulus | e modul | elastizitatsmodul | module d elasticite | module de young | modulo elastico | modulo de elasticidad | elasticiteitsmodulus',
  ),
  secondMomentM4: words(
    'i | iy | second moment of area | second moment | moment of inertia | strong axis inertia | flachentragheitsmoment | traegheitsmoment | tragheitsmoment | moment d inertie | inertie | momento de inercia | inercia | traagheidsmoment',
  ),
  basisText: POINT_HEADINGS.basisText,
} as const satisfies Record<string, HeadingWords>;
