//! An invented school district: six schools, a few kinds of computer bought over the years, as a table.

use intake::problem::SourceFile;

/// One kind of computer of the district.
struct Model {
    room: &'static str,
    count: [usize; 6],
    firmware: &'static str,
    processor: &'static str,
    board: &'static str,
    memory: &'static str,
    keeps: &'static str,
    cooler: &'static str,
    supply: &'static str,
    case: &'static str,
    work: &'static Work,
}

/// What a room's computers do.
struct Work {
    name: &'static str,
    time: &'static str,
    shares: [&'static str; 4],
    widest: &'static str,
    hour: &'static str,
}

const CATALOGUE: Work = Work {
    name: "catalogue and browser",
    time: "130 min",
    shares: ["12 %", "2 %", "2 %", "84 %"],
    widest: "2",
    hour: "1.00 EUR",
};
const OFFICE: Work = Work {
    name: "timetables, lists, letters",
    time: "4 h",
    shares: ["26 %", "9 %", "5 %", "60 %"],
    widest: "4",
    hour: "3.50 EUR",
};
const PROGRAMMING: Work = Work {
    name: "building and running pupils' programs",
    time: "70 min",
    shares: ["30 %", "45 %", "10 %", "15 %"],
    widest: "",
    hour: "1.60 EUR",
};
const FILMS: Work = Work {
    name: "cutting and rendering films",
    time: "100 min",
    shares: ["18 %", "66 %", "10 %", "6 %"],
    widest: "",
    hour: "1.80 EUR",
};

const MODELS: [Model; 7] = [
    Model {
        room: "library",
        count: [6, 4, 4, 3, 2, 2],
        firmware: "1.02",
        processor: "squall-1-drizzle",
        board: "larkmoor-hollow",
        memory: "quillon-1600-2x4",
        keeps: "8 GiB",
        cooler: "vesterly-boxed",
        supply: "kiln-300-old",
        case: "stall-office",
        work: &CATALOGUE,
    },
    Model {
        room: "office",
        count: [5, 4, 3, 3, 2, 2],
        firmware: "1.20",
        processor: "tern-1-reed",
        board: "tidewell-plover",
        memory: "quillon-2666-2x8",
        keeps: "16 GiB",
        cooler: "larkspur-90",
        supply: "kiln-450",
        case: "hutch-small",
        work: &OFFICE,
    },
    Model {
        room: "computer room",
        count: [24, 20, 18, 16, 0, 12],
        firmware: "1.20",
        processor: "tern-1-sedge",
        board: "tidewell-plover",
        memory: "quillon-2666-2x8",
        keeps: "16 GiB",
        cooler: "larkspur-90",
        supply: "kiln-450",
        case: "hutch-small",
        work: &PROGRAMMING,
    },
    Model {
        room: "old computer room",
        count: [12, 0, 10, 0, 14, 0],
        firmware: "1.20",
        processor: "tern-1-reed",
        board: "tidewell-plover",
        memory: "quillon-2666-2x8",
        keeps: "16 GiB",
        cooler: "larkspur-90",
        supply: "kiln-450",
        case: "hutch-small",
        work: &PROGRAMMING,
    },
    Model {
        room: "film club",
        count: [4, 0, 3, 0, 2, 0],
        firmware: "1.40",
        processor: "tern-1-rush",
        board: "tidewell-plover",
        memory: "quillon-2666-2x8",
        keeps: "16 GiB",
        cooler: "larkspur-90",
        supply: "kiln-450",
        case: "hutch-small",
        work: &FILMS,
    },
    Model {
        room: "music room",
        count: [2, 2, 1, 1, 1, 1],
        firmware: "1.40",
        processor: "tern-2-sedge",
        board: "tidewell-plover",
        memory: "quillon-2666-2x8",
        keeps: "16 GiB",
        cooler: "larkspur-90",
        supply: "kiln-450",
        case: "hutch-small",
        work: &FILMS,
    },
    Model {
        room: "staff room",
        count: [3, 2, 2, 2, 1, 1],
        firmware: "1.02",
        processor: "squall-1-mist",
        board: "larkmoor-hollow",
        memory: "quillon-1600-2x4",
        keeps: "8 GiB",
        cooler: "vesterly-boxed",
        supply: "kiln-300-old",
        case: "stall-office",
        work: &OFFICE,
    },
];

const SCHOOLS: [&str; 6] = ["brookside", "harrowgate", "millfield", "northlea", "quarrybank", "westmere"];

/// Sections of the record that differ from machine to machine, in the order of the columns.
const HEADINGS: &str = "id,name,firmware,processor.id,processor.age,board.id,memory.id,cooler.id,joint.state,supply.id,supply.age,case.id,\
setting.room,setting.days_a_year,setting.hours_on,setting.energy_price,task.name,task.time_a_day,task.serial,task.parallel,task.memory,\
task.elsewhere,software.firmware_mode,software.bound_keys.disk_encryption,software.bound_keys.licence,task.attended,task.widest,wishes.hour_value,wishes.memory,wishes.board,wishes.second_hand,wishes.least_gain,wishes.payback\n";

/// The district's table.
pub fn district() -> SourceFile {
    let mut text = HEADINGS.to_owned();
    for (place, school) in SCHOOLS.iter().enumerate() {
        for model in &MODELS {
            for number in 1..=model.count.get(place).copied().unwrap_or(0) {
                text.push_str(&row(school, model, number));
            }
        }
    }
    SourceFile { name: "demo/district.csv".to_owned(), bytes: text.into_bytes() }
}

fn row(school: &str, model: &Model, number: usize) -> String {
    let id = format!("{school}-{}-{number}", model.room.replace(' ', "-"));
    let name = format!("{school} {} {number}", model.room);
    let work = model.work;
    let [serial, parallel, memory, elsewhere] = work.shares;
    let cells = [
        id.as_str(),
        name.as_str(),
        model.firmware,
        model.processor,
        "6 years",
        model.board,
        model.memory,
        model.cooler,
        "dried",
        model.supply,
        "6 years",
        model.case,
        "19..27 °C",
        "190",
        "8 h",
        "0.28 EUR",
        work.name,
        work.time,
        serial,
        parallel,
        memory,
        elsewhere,
        "uefi",
        "false",
        "false",
        "waited",
        work.widest,
        work.hour,
        model.keeps,
        "keep",
        "welcome",
        "8 %",
        "4 years",
    ];
    let quoted: Vec<String> = cells
        .iter()
        .map(|cell| if cell.contains(',') { format!("\"{cell}\"") } else { (*cell).to_owned() })
        .collect();
    quoted.join(",") + "\n"
}
