// What the server sends, as Go has it. Written by TestServerTypes -update.

interface View {
  rev: number;
  id: string;
  title: string;
  step: string;
  busy?: string;
  trouble?: Trouble;
  board: BoardSummary | null;
  mend?: MendView;
  nets: string[];
  groups: string[][];
  picked: string[];
  path: Milestone[];
  card: Card;
  target: Target | null;
  readings: ReadingView[];
  findings: string[];
  where: Answer | null;
  meter: MeterView;
  can_undo: boolean;
  red_group: number;
  turns: number;
  focus: Focus | null;
  named: string[];
  no_undo?: string;
  early?: EarlyView;
}

interface BoardSummary {
  name: string;
  size: string;
  nets: number;
  parts: number;
  layers: number;
  doubts: DoubtView[];
  said: string[];
  roles: string[];
  files: FileView[];
  copies: CopyView[];
  copy: string;
  figures: Figure[];
  read: string;
}

interface Milestone {
  name: string;
  state: string;
}

interface Card {
  kind?: string;
  head: string;
  text: string[];
  speak: string;
  items?: Item[];
  facts?: Fact[];
  entry?: ValueEntry;
  doing: Choice[];
  bar: boolean;
  tone: string;
  search?: boolean;
}

interface Item {
  words: string;
  done: boolean;
  act?: Action;
}

interface Fact {
  name: string;
  value: string;
}

interface ValueEntry {
  label: string;
  hint: string;
}

interface Choice {
  words: string;
  note?: string;
  aside?: boolean;
  act: Action;
}

interface Target {
  kind: string;
  red: Place;
  black: Place;
  clip_red?: Place;
  clip_black?: Place;
  turn?: string;
  why?: string;
  others: Other[];
  cannot?: string;
  advised: boolean;
}

interface Place {
  place: string;
  words: string;
  part?: string;
  layer: string;
  bottom: boolean;
  side: string;
  net: string;
  x_mm: number;
  y_mm: number;
}

interface Other {
  from: string;
  to: string;
  cost: string;
}

interface ReadingView {
  n: number;
  places: string;
  value: string;
  predicted?: string;
  off: number;
  share: number;
  predicted_share: number;
  doubtful: boolean;
  worst: boolean;
  from_x_mm: number;
  from_y_mm: number;
  to_x_mm: number;
  to_y_mm: number;
  from_black: boolean;
  from_side: string;
  to_side: string;
}

interface Answer {
  words: string;
  radius: string;
  chance: string;
  hides?: string;
  gap?: string;
  short?: string;
  verdict: string;
  one_short: boolean;
  note?: string;
  changed?: string;
  touch_again?: string;
  reach?: string;
  worth?: string;
  best: BestSite | null;
  places: PlaceView[];
  density: [number, number, number][];
}

interface BestSite {
  rank: number;
  probability: number;
  kind: string;
  layer: string;
  x_mm: number;
  y_mm: number;
  x2_mm: number;
  y2_mm: number;
  gap_mm: number;
  extent_mm: number;
  near: string[];
  hidden: boolean;
  covered: boolean;
  ohms: OhmsRange;
  part?: string;
  nets?: [string, string];
  radius_mm: number;
  radius_mass: number;
}

interface OhmsRange {
  low: number;
  median: number;
  high: number;
}

interface PlaceView {
  words: string;
  chance: string;
  p: number;
  layer: string;
  x_mm: number;
  y_mm: number;
}

interface Focus {
  what: string;
  side: string;
  x0_mm: number;
  y0_mm: number;
  x1_mm: number;
  y1_mm: number;
  part?: string;
}

interface EarlyView {
  number: number;
  words: string;
}

interface MeterView {
  kind: string;
  words: string;
  down: boolean;
  address?: string;
  lost?: string;
}

interface Live {
  text: string;
  share: number;
  open: boolean;
  steady: boolean;
  on: boolean;
  hot: boolean;
}

interface Trouble {
  code: string;
  what: string;
  hint?: string;
}

interface Action {
  rev: number;
  do: string;
  text?: string;
  place?: string;
  nets?: string[];
  n?: number;
}

interface DoubtView {
  file: string;
  line: number;
  what: string;
  code?: string;
  part?: boolean;
  key: string;
  settled: boolean;
  says: string;
  advice: string;
  ways: Choice[];
  as?: string;
}

interface MendView {
  files: string[];
  file: string;
  roles: string[];
  ways: Choice[];
}

interface FileView {
  path: string;
  role: string;
  why?: string;
}

interface CopyView {
  n: number;
  words: string;
}

interface Figure {
  key: string;
  name: string;
  value: string;
  said?: string;
  hint: string;
}

interface Reply {
  words: string[];
  facts: Fact[];
}

interface PronePair {
  nets: [string, string];
  chance: number;
  places: number;
  where: string;
  layer: string;
  x_mm: number;
  y_mm: number;
  touch: [string, string];
  good?: string;
}

interface Found {
  net: string;
  pin?: string;
  pads: number;
}

interface CaseLine {
  id: string;
  title: string;
  nets: string[];
  readings: number;
  state: string;
  practice: boolean;
  changed: string;
}

interface StartAnswer {
  recent: CaseLine[];
  practice: number;
  far_url?: string;
  code?: string;
}

interface Begun {
  id: string;
}

interface DrawingTable {
  Name: string;
  Origin: [number, number];
  Box: [number, number, number, number];
  Rings: number;
  Points: number;
  Outline: [number, number];
  Nets: string[];
  Layers: DrawingLayer[];
  Mask: [[number, number] | null, [number, number] | null];
  Holes: [number, number, number, number, number, number][];
  Parts: DrawingPart[];
  Pads: DrawingPad[];
}

interface DrawingLayer {
  Name: string;
  Polygons: number[];
}

interface DrawingPart {
  Ref: string;
  Value?: string;
  Bottom?: boolean;
  Body: [number, number];
}

interface DrawingPad {
  Pin: string;
  Net: number;
  Layer: number;
  At: [number, number];
}
