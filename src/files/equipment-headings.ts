import { words } from './heading-words.ts';

// What people write above the columns of their equipment lists, in English, German, French, Spanish and Dutch. Common practice, no source.

const NAME = words(
  'label | name | item | equipment | model | type name | bezeichnung | benennung | gerat | geraet | nom | designation | nombre | naam | omschrijving',
  'type | typ | description | beschreibung | id | no | nr | number | ref | reference | article',
);
const WLL = words(
  'wll | swl | working load limit | safe working load | working load | capacity | rated capacity | rated load | lifting capacity | load capacity | tragfahigkeit | tragfaehigkeit | traglast | hublast | nennlast | cmu | charge maximale d utilisation | capacite | capacidad | carga maxima | carga de trabajo | draagvermogen | werklast | hijsvermogen',
  'load | max load | last | nutzlast | charge | carga | belasting',
);
const MASS = words(
  'mass | weight | unit weight | dead weight | masse | gewicht | eigengewicht | poids | peso | massa',
  'kg | net weight | gross weight',
);
const BASIS = words(
  'mass basis | weight basis | basis of mass | mass from | weight from | gewicht aus | gewichtsangabe',
  'basis | source | quelle | bron',
);
const LENGTH = words(
  'length | effective length | bearing to bearing | lange | laenge | longueur | longitud | lengte',
  'size | grosse | groesse',
);

export const HOIST_HEADINGS = {
  label: NAME,
  wllKg: WLL,
  wllIsNetOf: words('wll is net of | rated at | rating net of | capacity net of | wll net of'),
  bodyKg: words(
    'body | body mass | body weight | hoist mass | hoist weight | motor weight | motor mass | gehausegewicht | gewicht ohne kette | eigengewicht | weight without chain | poids sans chaine | peso sin cadena | gewicht zonder ketting',
    'mass | weight | masse | gewicht | poids | peso | total weight | weight with chain',
  ),
  chainKgPerM: words(
    'chain mass | chain weight | chain kg per m | chain mass per metre | chain weight per metre | chain weight per meter | kettengewicht | kettengewicht pro meter | poids de chaine | poids chaine | peso de cadena | kettinggewicht',
    'chain | kette | chaine | cadena | ketting',
  ),
  falls: words(
    'falls | falls of chain | chain falls | number of falls | kettenstrange | kettenstraenge | strange | brins | ramales | parten',
  ),
  bagKg: words(
    'bag | bag mass | bag weight | chain bag | chain bag weight | kettenspeicher | kettensack | bac a chaine | sac a chaine | bolsa | kettingzak',
  ),
  liftM: words(
    'lift | lift height | lifting height | height of lift | chain travel | hubhohe | hubhoehe | hauteur de levage | altura de elevacion | hijshoogte',
    'height | chain length | hohe | hoehe',
  ),
  speedMPerMin: words(
    'speed | lifting speed | lift speed | hubgeschwindigkeit | geschwindigkeit | vitesse | vitesse de levage | velocidad | velocidad de elevacion | hijssnelheid | snelheid',
  ),
  variableSpeed: words('variable speed | vario | variable | regelbar | vitesse variable | velocidad variable | variabele snelheid'),
  dynamicFactor: words(
    'dynamic factor | dynamic coefficient | schwingbeiwert | dynamikfaktor | coefficient dynamique | factor dinamico | dynamische factor',
  ),
  shortestHookToHookM: words(
    'hook to hook | shortest hook to hook | min hook to hook | minimum hook to hook | headroom | min headroom | bauhohe | bauhoehe | hakenmass | distance crochet crochet | distancia gancho gancho | haak tot haak',
  ),
  chainStiffnessKnPerM: words('chain stiffness | stiffness | kettensteifigkeit | rigidite | rigidez | stijfheid'),
  limiterFactor: words(
    'limiter factor | overload factor | load limiter | uberlastfaktor | ueberlastfaktor | limiteur de charge | factor limitador',
  ),
  mayHoldOverPeople: words(
    'may hold over people | holds over people | hold over people | over people at rest | halten uber personen | halten ueber personen',
  ),
  mayMoveOverPeople: words('may move over people | moves over people | move over people | bewegen uber personen | bewegen ueber personen'),
  needsSecondary: words(
    'needs secondary | secondary needed | needs a secondary | secondary required | sekundarsicherung | sekundaersicherung',
  ),
} as const;

export const PART_HEADINGS = {
  label: NAME,
  part: words(
    'part | kind | kind of part | part kind | category | art | teil | piece | genre | categorie | categoria | soort',
    'type | typ | tipo',
  ),
  lengthM: LENGTH,
  massKg: MASS,
  wllKg: WLL,
  breakingKn: words(
    'breaking force | breaking load | breaking strength | minimum breaking force | minimum breaking load | mbf | mbl | mbs | bruchkraft | mindestbruchkraft | bruchlast | mindestbruchlast | charge de rupture | force de rupture | carga de rotura | breuksterkte | breekkracht',
  ),
} as const;

export const CABINET_HEADINGS = {
  label: NAME,
  massKg: MASS,
  basis: BASIS,
  heightM: words('height | hohe | hoehe | hauteur | alto | altura | hoogte', 'h'),
  depthM: words('depth | tiefe | profondeur | fondo | profundidad | diepte', 'd'),
  widthM: words('width | breite | largeur | ancho | anchura | breedte', 'w'),
  cgUM: words('cg u | cg forward | cg along | centre of gravity u | center of gravity u | cog u | schwerpunkt u'),
  cgVM: words('cg v | cg up | cg height | centre of gravity v | center of gravity v | cog v | schwerpunkt v'),
  bottomPivotUM: words('bottom pivot u | lower pivot u | bottom pin u'),
  bottomPivotVM: words('bottom pivot v | lower pivot v | bottom pin v | pivot to pivot'),
} as const;

export const TRUSS_HEADINGS = {
  label: NAME,
  selfKgPerM: words(
    'self weight | kg per m | kg m | mass per metre | mass per meter | weight per metre | weight per meter | metre weight | metergewicht | eigengewicht | poids par metre | poids au metre | poids lineique | peso por metro | gewicht per meter',
    'mass | weight | gewicht | poids | peso',
  ),
  basis: BASIS,
  nodeSpacingM: words(
    'node spacing | node distance | panel length | knotenabstand | pas des noeuds | entraxe des noeuds | distancia entre nudos | knoopafstand',
  ),
  eiKnm2: words('ei | ei vertical | bending stiffness | biegesteifigkeit | rigidite de flexion | rigidez a flexion | buigstijfheid'),
  eiSidewaysKnm2: words('ei sideways | ei lateral | ei horizontal | sideways bending stiffness'),
  gjKnm2: words('gj | torsional stiffness | torsionssteifigkeit | rigidite de torsion | rigidez a torsion | torsiestijfheid'),
  gaKn: words('ga | shear stiffness | schubsteifigkeit | rigidite de cisaillement | rigidez a cortante'),
  saggingKnm: words(
    'sagging | sagging moment | allowable sagging | allowable sagging moment | feldmoment | moment positif | momento positivo',
    'allowable moment | bending moment | moment | biegemoment',
  ),
  hoggingKnm: words(
    'hogging | hogging moment | allowable hogging | allowable hogging moment | stutzmoment | stuetzmoment | moment negatif | momento negativo',
  ),
  shearKn: words(
    'shear | shear force | allowable shear | allowable shear force | querkraft | zul querkraft | effort tranchant | cortante | dwarskracht',
  ),
  allowablesBasis: words(
    'allowables from | basis of allowables | document | report | static report | statik | nachweis | rapport | informe',
    'source | quelle | bron',
  ),
} as const;

export const CABLE_HEADINGS = {
  label: NAME,
  kgPerM: words(
    'kg per m | kg m | mass per metre | mass per meter | weight per metre | weight per meter | metergewicht | gewicht pro meter | poids par metre | poids lineique | peso por metro | gewicht per meter',
    'mass | weight | masse | gewicht | poids | peso',
  ),
  basis: BASIS,
} as const;
