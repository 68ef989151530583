/** The invented practice and its people. Any likeness to a real place, business or person is accidental. */

export interface DemoPerson {
  readonly id: string;
  readonly name: string;
  readonly role: string;
  readonly covers?: readonly string[];
  readonly yard?: string;
}

export const PRACTICE = {
  name: "Wrackline Hoof & Horse Partnership",
  town: "Port Aldren",
  county: "County Tarravane (invented)",
  lat: 53.214,
  lon: -9.041,
  tz: "Europe/Dublin",
} as const;

export const PEOPLE: readonly DemoPerson[] = [
  { id: "V1", name: "Nessa Tarvish", role: "vet, clinical lead" },
  { id: "V2", name: "Corin Sallowby", role: "vet" },
  { id: "N1", name: "Odhran Wexlow", role: "veterinary nurse" },
  { id: "M1", name: "Bríd Fennimarsh", role: "practice manager" },
  { id: "R1", name: "Pia Lanterick", role: "reception and on-call dispatch" },
  { id: "F1", name: "Malo Ironmere", role: "farrier", covers: ["Y1", "Y2"] },
  { id: "F2", name: "Dervil Oxtarn", role: "farrier", covers: ["Y3", "Y4"] },
  {
    id: "F3",
    name: "Rowan Peltrick",
    role: "farrier, newly qualified",
    covers: ["Y1", "Y2", "Y3", "Y4"],
  },
  { id: "C1", name: "Síle Duskerry", role: "yard carer", yard: "Y1" },
  { id: "C2", name: "Jonty Marlbeck", role: "yard carer", yard: "Y2" },
  { id: "C3", name: "Ana Corvisk", role: "yard carer", yard: "Y3" },
  { id: "C4", name: "Ferdia Lowmoor", role: "yard carer", yard: "Y4" },
];

export interface DemoOwner {
  readonly id: string;
  readonly name: string;
  readonly horses: readonly string[];
}

export const OWNERS: readonly DemoOwner[] = [
  { id: "O01", name: "Augustin Merrivale-Kess", horses: ["H13", "H14"] },
  { id: "O02", name: "Caspian Orrell-Vane", horses: ["H04"] },
  { id: "O03", name: "Delphine Roake-Amory", horses: ["H19", "H20"] },
  { id: "O04", name: "Hesper Dunnage", horses: ["H03", "H05"] },
  { id: "O05", name: "Isaura Blenkish", horses: ["H07", "H09"] },
  { id: "O06", name: "Leopold Garstine", horses: ["H08", "H11"] },
  { id: "O07", name: "Maud Ferriby-Strake", horses: ["H23", "H24"] },
  { id: "O08", name: "Nerys Attwillow", horses: ["H10", "H12"] },
  { id: "O09", name: "Orsolya Penhallick", horses: ["H01", "H06"] },
  { id: "O10", name: "Philippa Oxmantle", horses: ["H15", "H16"] },
  { id: "O11", name: "Rurik Saltonby", horses: ["H17", "H18"] },
  { id: "O12", name: "Torvald Inchmoor", horses: ["H21", "H22"] },
  { id: "O13", name: "Wilmot Traske", horses: ["H02"] },
];

export const YARDS = [
  {
    id: "Y1",
    name: "Sallowfield Yard",
    carer: "Síle Duskerry",
    lat: 53.268,
    lon: -8.934,
    signal: "good at the gate, none in the back boxes",
    surface: "level concrete bay 3 x 3 m, mains light",
    weighing: "weighbridge",
  },
  {
    id: "Y2",
    name: "Ouzel Strand Stables",
    carer: "Jonty Marlbeck",
    lat: 53.151,
    lon: -9.102,
    signal: "none on the yard; one bar at the road",
    surface: "rubber mats, head-torch needed after 16:30 in winter",
    weighing: "tape",
  },
  {
    id: "Y3",
    name: "Carrowmist Farm",
    carer: "Ana Corvisk",
    lat: 53.192,
    lon: -8.871,
    signal: "patchy",
    surface: "sand school corner, generator light",
    weighing: "tape",
  },
  {
    id: "Y4",
    name: "Gannet Hill Livery",
    carer: "Ferdia Lowmoor",
    lat: 53.305,
    lon: -9.118,
    signal: "good at the farriery bay, none in the far barn",
    surface: "level farriery bay, mains light",
    weighing: "weighbridge",
  },
] as const;
