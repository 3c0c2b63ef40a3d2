//! The table: one entry per question, in the order of the work.
//!
//! ```text
//! Code "identifier" Stage "name", source,
//!     "what is compared with what, and why it matters",
//!     "what to do about a no" (left out: the remedy of the stage)
//!     eg "car" at "crossing" Outcome "what the row of the demonstration shows";
//! ```

use super::Basis::{CommonPractice, FromMemory, Ours, Published};
use super::declare::{codes, remedy};
use super::{Example, Kind, Stage};
use crate::check::Outcome;

codes! {
    // Reading ---------------------------------------------------------------------------------
    FileUnreadable "D01" Read "File cannot be read", Ours,
        "The file named on the command line does not exist, may not be read, or is not text in UTF-8.",
        "Check the path; save the file as UTF-8 text.";
    ColumnMissing "D02" Read "Column missing", Ours,
        "A column that every file of this kind must have is not in the header row.",
        "Add the column with its exact name from docs/formats.md; leave cells blank where a value is unknown.";
    ColumnUnknown "D03" Read "Column unknown", Ours,
        "A column of the header row has a name that this kind of file does not know, or stands there twice. A misspelled name would otherwise silently drop its values.",
        "Rename the column as in docs/formats.md, or prefix its name with `x_` to carry it along unread.";
    NotANumber "D04" Read "Not a number", Ours,
        "The cell must hold a plain number in the unit that the column's name ends with.",
        "Write digits with a decimal point and nothing else; leave the cell blank when the value is unknown.";
    OutOfRange "D05" Read "Out of range", Ours,
        "The number cannot be right for this column: it lies outside what exists in the trade, which usually means another unit or a shifted column.",
        "Check the unit in the column's name and the cell's neighbors.";
    WordUnknown "D06" Read "Word unknown", Ours,
        "The cell must hold one of a few words.",
        "Use one of the words listed in the message.";
    NotADate "D07" Read "Not a date", Ours,
        "Dates are written year-month-day, so that nobody can swap month and day.",
        "Write the date like 2026-05-31.";
    Duplicate "D08" Read "Duplicate", Ours,
        "Two rows name the same thing: a car by dealer and ID, a yard by dealer and name, a lot, a crossing.",
        "Give each its own ID, or merge identical cars into one row with a quantity.";
    RefersToNothing "D09" Read "Refers to nothing", Ours,
        "The cell names a yard, lot, vehicle, deck system or joint that no file defines.",
        "Add the missing row, or correct the name.";
    CellBlank "D10" Read "Cell must not be blank", Ours,
        "Without this cell the row has no meaning. Other cells may stay blank: blank is unknown, and unknown is never taken as good.",
        "Fill in the cell or remove the row.";
    RowMalformed "D11" Read "Row has the wrong number of cells", Ours,
        "The row has more or fewer cells than the header, so the values cannot be told apart with certainty.",
        "Quote cells that contain commas; give every row as many cells as the header.";
    Contradiction "D12" Read "Cells contradict each other", Ours,
        "Two cells of the row cannot both be right, such as truck centers longer than the car.",
        "Measure or ask again; one of the two is wrong.";
    RulesMalformed "D13" Read "Rules cannot be understood", Ours,
        "The rules file is not valid TOML, or has a key that no rule knows.",
        "Compare with the output of `spanyard rules`, which is a complete valid file.";
    MappingMalformed "D14" Read "Mapping cannot be understood", Ours,
        "A mapping file says what the columns of one dealer's lists mean. It is not valid TOML, has a key or column that is not known, is for none of the inventories, or names a header that its inventory does not have.",
        "Compare with docs/formats.md, or draft it anew with `spanyard check FILE --draft-mapping`.";
    UnitUnknown "D15" Read "Unit not stated", Ours,
        "The number has no unit, and neither the header, nor a row of units, nor the mapping states one, or they disagree; or it is in tons, which are 2,000 lb or 1,000 kg. A wrong guess would pass a car for something else.",
        "State the unit in the mapping, as in `Len = { column = \"length_ft\", unit = \"ft\" }`, or behind the number; write short ton or tonne.";
    RangeGiven "D16" Read "Range instead of a number", Ours,
        "The cell gives two values. Where one end is the unfavorable one, such as the lower section modulus or the higher price, that end is taken. Where either end can hurt, as with lengths, widths and camber, the value stays unknown.",
        "Measure the car and write one number.";
    WordUnsure "D17" Read "Word not sure", Ours,
        "The dealer's word is not one of ours, and what it means for the steel is for a person to say. The value stays unknown, which bars like a no; a bad word that is plain in itself, like `bent flange`, is taken as such.",
        "Look at the car or ask, then add the word to `[words.COLUMN]` of the mapping.";
    ColumnCarried "D18" Read "Column carried as a note", Ours,
        "No column of ours is known for this header of a dealer's file, so its cells are carried with the notes and not judged.",
        "Map the column in the mapping file, to `note` or `ignore` if that is meant.";
    FileTooLarge "D19" Read "File too large", Ours,
        "The file has more rows or bytes, or unpacks to more, than any dealer's list has. It is refused before it is unpacked, so that it cannot use up the memory.",
        "Split the list, or delete what is not part of it.";
    ValueDoubtful "D20" Read "Value read with doubt", Ours,
        "The value could be read, but the file lost or never had what would make it certain: IDs kept as numbers, which lose leading zeros; a day kept as a bare serial number; a row that holds an ID and nothing else. Or the value is possible and rare, such as a camber of more than 6 in, or a crossing that names design loads alone.",
        "Compare with the dealer's list, and correct the file where it is wrong.";
    HeaderUnsure "D21" Read "Header not sure", Ours,
        "It cannot be told with certainty which row is the header, what separates the cells, or which of two columns is meant.",
        "Say it in the mapping: `header_row`, `delimiter`, `sheet`, or the column under `[columns]`.";
    DecisionsMalformed "D22" Read "Decisions cannot be understood", Ours,
        "The decisions file is not valid TOML, or has a kind of decision or a key that is not known.",
        "Compare with docs/formats.md, or let `spanyard decide` write the entry.";

    SetAside "D23" Read "Set aside, and not read", Ours,
        "The list itself says that a row, a cell or a column is not for everybody: it is hidden, it is struck through, or it stands under a heading that nobody has explained. Such cars may be sold, and such columns may be the dealer's own. They are told and not read.",
        "Ask the dealer; then say in the mapping what is to be read: `hidden_rows`, `struck_rows`, `[headings]`, or the column under `[columns]`.";

    // Screening -------------------------------------------------------------------------------
    CarKind "S01" Screen "Kind of car", CommonPractice,
        "Flat cars carry their load on their frame. Boxcars, car haulers and gondolas lean on their bodies for strength; cut down, little is left underneath.",
        "Offer a flat car; the agency's list of kinds is `screen.kinds_allowed` in the rules."
        eg "UD-26" at "B-03" Fail "a boxcar cut down"
        eg "SS-180" at "B-03" Fail "a gondola"
        eg "SS-190" at "B-11" Unknown "a car hauler, which may be a flat car with a rack"
        eg "Q-14" at "B-07" Fail "bulkheads; the rules allow plain flat cars"
        eg "Q-19" at "B-07" Unknown "kind not recorded";
    WreckHistory "S02" Screen "Wreck history", CommonPractice,
        "A car that was in a wreck is out: damage hides in members that look straight.",
        "Ask the dealer for the car's history in writing; unknown history excludes the car."
        eg "UD-12" at "B-07" Fail "a wreck"
        eg "Q-05" at "B-24" Unknown "history not known";
    PrimaryMembers "S03" Screen "Primary members", CommonPractice,
        "Main girder, exterior girders and bolsters must be free of bends, cracks and missing pieces, and their corrosion loss within `screen.primary_loss_max_pct`.",
        "Inspect and measure each group of members; record its condition in the inventory."
        eg "UD-11" at "B-07" Fail "cracked main girder"
        eg "UD-24" at "B-12" Fail "corroded main girder"
        eg "UD-25" at "B-12" Fail "missing bolster"
        eg "SS-114" at "B-07" Fail "bent exterior girder"
        eg "Q-06" at "B-24" Unknown "not inspected";
    SecondaryMembers "S04" Screen "Secondary members", CommonPractice,
        "Cross-members and stringers may be bent or corroded within `screen.secondary_loss_max_pct`, at the cost of repair; cracked or missing ones exclude the car unless the rules list them as repairable.",
        "Inspect and record; damage seldom comes alone, so one bad member means a look at all the others."
        eg "UD-03" at "B-16" Fail "cracked stringers"
        eg "UD-04" at "B-16" Fail "cross-members corroded by 14 %"
        eg "UD-06" at "B-16" Caution "bent cross-members, to be repaired";
    Support "S05" Screen "Support at the truck centers", CommonPractice,
        "A car is built to stand on its two wheel trucks. The span, bearing to bearing, is at most the truck centers; bearings outside them would load the car's ends as they never were.",
        "Take a longer car, shorten the span with piers, or choose another kind of bridge."
        eg "UD-22" at "B-19" Fail "66 ft truck centers, 112 ft span"
        eg "Q-20" at "B-16" Unknown "truck centers not measured";
    BearingInside "S06" Screen "Bearings inside the bolsters", CommonPractice,
        "Where the span is shorter than the truck centers, the car bears inside its bolsters and its ends hang further over the bearings. It is a caution and not a bar.",
        "Check the girder's web and flange at the new bearing, and trim or support the ends."
        eg "UD-08" at "B-07" Caution "44 ft truck centers on 42 ft";
    JointDepth "S07" Screen "Exterior girder for a joint", CommonPractice,
        "The longitudinal joint hangs on the exterior girders: they must be deep enough for at least one joint type of the rules.",
        "Measure the exterior girder, or add a joint type with a smaller least depth to the rules."
        eg "SS-160" at "B-12" Fail "exterior girders cut down to 6 in";
    CarDeck "S08" Screen "The car's own deck", CommonPractice,
        "Where the crossing keeps the car's own deck, that deck must be sound.",
        "Plan a new deck for the crossing, or take a car with a sound one."
        eg "SS-101" at "B-03" Fail "rotten planks where the car's deck is to stay";
    Coating "S09" Screen "Coating", CommonPractice,
        "Blasting and painting is decided while the car is still on the ground; a failed or unknown coating is priced, and is not a bar.",
        "See the blasting and painting line of the car's cost."
        eg "SS-101" at "B-03" Caution "paint gone";
    Lead "S10" Screen "Lead in the paint", Published("29 CFR 1926.62 (lead in construction); presumption of lead until tested: common practice"),
        "Old paint is taken to hold lead until a test says otherwise. Torch cutting, blasting and grinding it are the exposures. It is priced and cautioned, and is not a bar.",
        "Have the paint tested before any cutting or blasting."
        eg "Q-18" at "B-07" Caution "paint not tested";
    HaulLength "S11" Screen "Length on the road", CommonPractice,
        "The car's length over its ends is at most what the route to the crossing can take.",
        "Survey the route, or let the ends be cut at the yard before hauling (`trim.at_yard`), with the engineer's consent."
        eg "UD-22" at "B-33" Fail "89 ft on a road for 80";
    HaulWeight "S12" Screen "Weight on the road", CommonPractice,
        "The car's weight is at most what the route to the crossing can take.",
        "Weigh the car; ask the permit office."
        eg "UD-17" at "B-21" Fail "46,800 lb on a road for 45,000"
        eg "Q-04" at "B-24" Unknown "weight not known";
    CranePick "S13" Screen "Crane pick", CommonPractice,
        "The car's weight with rigging is at most what the crane can pick at this crossing.",
        "Weigh the car before the pick; plan a larger crane, two cranes or a launch."
        eg "UD-05" at "B-21" Fail "42,240 lb with rigging, crane for 30,000";
    QuoteDate "S14" Screen "Quote valid on the order date", CommonPractice,
        "The dealer's quote must still hold on the day the agency orders.",
        "Ask the dealer to extend the quote."
        eg "SS-131" at "B-24" Fail "quote ran out in May";
    NeedDate "S15" Screen "Ready by the date needed", CommonPractice,
        "The day the car can leave the yard plus the time to haul and build is at most the date the crossing is needed.",
        "Ask when the car can leave the yard; move the date needed."
        eg "SS-132" at "B-07" Fail "leaves on 30 September, needed on 1 December"
        eg "SS-151" at "B-11" Pass "leaves on 1 April 2027, needed on 30 June: 90 days later";
    PriceKnown "S16" Screen "Price known", Ours,
        "A car sold singly needs a price, and a car of a lot needs the lot's price.",
        "Ask the dealer for a quote."
        eg "SS-140" at "B-33" Unknown "price on request"
        eg "Q-10" at "B-33" Unknown "lot not quoted";
    WidthPossible "S17" Screen "Width for the roadway", CommonPractice,
        "Side by side with cars of its own width, in any number that the crossing allows and with any joint that its exterior girders carry, the car must reach a total width from the width required to the most that the rules admit. Where only neighbors of its section with another width get there, it is a caution, and the grouping decides.",
        "Where the width falls short allow one more car abreast or take wider cars; where it is over take narrower ones."
        eg "SS-170" at "B-07" Fail "8 + 8 ft and 18 in: 17.5 of 18.5 ft"
        eg "SS-170" at "B-16" Pass "the same 17.5 of 17.5 ft";
    SectionKnown "S18" Screen "Section known", CommonPractice,
        "Neighbors must be of one cross-section design to deflect alike under a truck. A car whose section is not known cannot be matched.",
        "Ask the dealer for the series or drawing, or measure the cross-section and name it."
        eg "Q-02" at "B-07" Unknown "no series";
    CamberKnown "S19" Screen "Camber known", CommonPractice,
        "Neighbors must have like camber for an easy joint and a smooth ride. A car whose camber is not known cannot be matched.",
        "Stretch a line between the bolsters and measure the rise at mid-length."
        eg "SS-113" at "B-07" Unknown "camber never measured";
    WeightKnown "S20" Screen "Weight known", Ours,
        "Haul, pick and dead load all need the car's weight.",
        "Weigh the car or read its stencil."
        eg "Q-04" at "B-24" Unknown "stencil painted over";
    StillToBeHad "S21" Screen "Still to be had", Ours,
        "A car that was sold to others, or refused after inspection, is out. It is asked only of cars that the decisions file names.",
        "Look for another car; correct the decisions file if the decision is not true any more.";
    BolsterKept "S22" Screen "Bolster kept", CommonPractice,
        "An end that is cut back behind its bolster takes with it what holds the girder over its bearing, and the place by which the car is lifted. What is left of the end beyond the bearing reaches at least to the bolster.",
        "Take a car with truck centers nearer to the span, leave longer ends (`screen.max_overhang_ft`), or let an engineer design stiffeners and a diaphragm and say so in `screen.bolsters_may_be_cut`."
        eg "UD-22" at "B-07" Fail "66 ft truck centers on 42 ft: the bolsters come off with the ends";
    Sag "S23" Screen "Sag", CommonPractice,
        "A flat car is built with a rise between its bolsters. One that hangs below the line through them has yielded, has a cracked main girder, or has lost its truss.",
        "Measure again, the car on its bolsters and without load; find the cause before the car is bought."
        eg "UD-26" at "B-03" Fail "a boxcar cut down, hangs 1.25 in below its bolsters";
    HaulWidth "S24" Screen "Width on the road", FromMemory("23 CFR 658.15: 102 in on the national network"),
        "A car wider than 8 ft 6 in is over-width: it travels by permit, and escorted where it is wider still, both priced. It is no wider than what the route can take; on a route that is not surveyed for width the answer is unknown.",
        "Survey the route for width and write it into `haul_width_limit_ft`; ask the permit office."
        eg "UD-08" at "B-07" Caution "wider than 8 ft 6 in: by permit";
    BadNews "S25" Screen "Bad news in the list", Ours,
        "The row's ID and remarks are read for words that tell of harm or of a sale (rules evidence.harm and evidence.not_for_sale). Such a word is a question: the car is barred until somebody answers it. A plain denial, such as no cracks, is the dealer's word and a caution. It is asked only of cars whose list has such a word.",
        "Ask the dealer or look; then correct the list, or append the answer: spanyard decide answered."
        eg "UD-11" at "B-07" Unknown "remarks that tell of a crack and a torch";
    EvidenceToPlan "S26" Screen "Evidence to plan with", Ours,
        "Each fact that decides rests on what `evidence.to_plan` asks for its kind: unknown, assumed, interpreted, stated, inspected, documented. A constant of the mapping is assumed, and no condition, length or camber is planned on that; a word of the dealer that the mapping reads is interpreted. `plan --firm` asks what `evidence.to_pay` does. It is asked only of cars that have a fact below it.",
        "Have the fact stated, measured or documented, as the check says; then append it: spanyard decide measured.";
    Underframe "S27" Screen "Underframe", CommonPractice,
        "The main girder is one with the frame. A center sill that slides in the frame, to cushion shocks, does not carry with it and bars the car; where nobody says which it is, it is to confirm.",
        "Ask the dealer, look at the ends for a sliding sill, and fill in the column underframe."
        eg "UD-08" at "B-07" Caution "nobody says whether the center sill slides";
    ShapeAndHistory "S28" Screen "Shape and history", CommonPractice,
        "Sweep and twist are at most `screen.sweep_most_in` and `screen.twist_most_in`; prior repairs are looked at by the engineer; cover plates reach over the bolsters, for the rating counts them throughout; where winters are cold (`screen.cold_winters`) the notch toughness of the steel is asked for. What is not known of these is to confirm.",
        "Measure with string and level, ask the dealer, and fill in the columns sweep_in, twist_in, repaired, cover_length_ft and toughness."
        eg "UD-08" at "B-07" Caution "sweep, twist and repairs not asked for yet";
    HaulHeight "S29" Screen "Height on the road", FromMemory("13 ft 6 in is the limit of most states"),
        "The car's depth over all and the trailer's deck (`haul.trailer_deck_ft`) are together at most what hangs over the route, or `haul.height_most_ft` where it is not surveyed for height. A depth that is not measured is to confirm.",
        "Measure the depth over all; survey the route for height and write it into `haul_height_limit_ft`."
        eg "UD-08" at "B-07" Caution "depth over all not measured";
    ListedOnce "S30" Screen "Listed once", Ours,
        "Two dealers may list one car. Where IDs are alike but for case, blanks, punctuation and look-alike characters, lengths are alike, and section and year are as far as both are known, it is one car and one offer: the one counts with which the plan is best, or that is the agency's own. It is asked only of such cars.",
        "Ask both dealers for a photograph of the stencil; if they are two cars, append it: spanyard decide different.";
    FactsAgree "S31" Screen "Facts that agree", Ours,
        "Two facts that cannot well both be true: a weight per foot more than `evidence.weight_from_sisters_pct` from that of the section's other cars, or a yield strength stated at more than `evidence.yield_ratio_max` times the table's by the year built. Which of the two is wrong is for a person to find out; until then neither carries a bridge. It is asked only of such cars.",
        "Find out which is wrong and correct the list; or enter what was found, `spanyard decide measured`; or answer it with a note that names the fact: spanyard decide answered.";

    // Rating ----------------------------------------------------------------------------------
    Rateable "R01" Rate "Data to rate the main girder", Ours,
        "The rating needs the section modulus at mid-span, stated or from measured plates, and the car's length and weight. Without them there is no rating.",
        "Measure the main girder's plates with calipers and record them."
        eg "Q-03" at "B-07" Unknown "no modulus, no plates";
    SteelYield "R02" Rate "Steel yield", FromMemory("AASHTO Manual for Bridge Evaluation, tables 6A.6.2.1-1 and 6B.5.2.1"),
        "The yield strength is as stated with its source, or by the year built; with the year unknown the lowest of the table is taken.",
        "Find the car's year of build or its mill certificates."
        eg "Q-13" at "B-12" Caution "year unknown: the lowest yield strength";
    BendingAllowable "R03" Rate "Bending, ASR", FromMemory("AASHTO Manual for Bridge Evaluation, part 6B"),
        "Allowable stress rating: RF = (C - D) / (L (1 + I)), what bending capacity remains for the vehicle, over what it asks, at the level that the rules name."
        eg "Q-13" at "B-12" Fail "year unknown, and with the lowest yield strength too weak";
    ShearAllowable "R04" Rate "Shear, ASR", FromMemory("AASHTO Manual for Bridge Evaluation, part 6B"),
        "Allowable stress rating: RF = (C - D) / (L (1 + I)) for shear in the main girder's webs.",
        "Measure the webs; a car with stated section modulus alone has no shear area."
        eg "Q-12" at "B-12" NotChecked "a stated modulus, and no webs measured";
    BendingFactored "R05" Rate "Bending, LRFR", FromMemory("AASHTO Manual for Bridge Evaluation, 6A.4.2"),
        "Load and resistance factor rating: RF = (C - gDC DC - gDW DW) / (gLL (LL + IM)) with the condition and system factors of the rules."
        eg "UD-13" at "B-30" Fail "carries HS20 on 42 ft, not HL-93 on 40"
        eg "UD-13" at "B-07" Pass "carries HS20 on 42 ft";
    ShearFactored "R06" Rate "Shear, LRFR", FromMemory("AASHTO Manual for Bridge Evaluation, 6A.4.2"),
        "Load and resistance factor rating: RF = (C - gDC DC - gDW DW) / (gLL (LL + IM)) for shear in the main girder's webs.",
        "Measure the webs; a car with stated section modulus alone has no shear area."
        eg "Q-12" at "B-12" NotChecked "a stated modulus, and no webs measured";
    Posting "R07" Rate "Posting", Published("AASHTO Manual for Bridge Evaluation, 6A.8.3, as given by M. A. Khan, Bridge and Highway Structure Rehabilitation and Repair, McGraw-Hill 2010, p. 187"),
        "The weight that may be posted for the vehicle is at least the least posting that the crossing accepts.",
        "A stronger car, or a lower least posting by the agency's decision."
        eg "UD-13" at "B-24" Pass "may be posted for more than 15 tons"
        eg "Q-01" at "B-24" Fail "may not";
    Deflection "R08" Rate "Live-load deflection", FromMemory("AASHTO LRFD Bridge Design Specifications, 2.5.2.6.2"),
        "The deflection under the vehicle with impact against a fraction of the span; reported, and a bar only where the rules say so.",
        "A stiffer car, or the engineer's acceptance."
        eg "UD-08" at "B-07" Caution "deflects more than the span / 800";
    Slenderness "R09" Rate "Slender plates", FromMemory("AASHTO Standard Specifications 10.34 and LRFD 6.10"),
        "Width-to-thickness of the compression flange and depth-to-thickness of the webs against the limits up to which the full yield may be counted on.",
        "Have an engineer reduce the capacity for the slender plate."
        eg "Q-12" at "B-12" NotChecked "a stated modulus, and no plates measured";
    LocalMembers "R10" Rate "Stringers and cross-members", Published("Texas DOT Bridge Inspection Manual, ch. 6: transverse members and floor beams of flat cars often control"),
        "A wheel on a stringer and an axle on a cross-member, where their dimensions are given.",
        "Measure the secondary members and have them checked before loading."
        eg "UD-08" at "B-07" Pass "stringers measured, and strong enough"
        eg "UD-10" at "B-07" Fail "lighter stringers";
    LoadShare "R11" Rate "Share of the truck on one car", CommonPractice,
        "One car carries the whole truck unless the agency states a share, with its source.",
        "A load test or an engineer's analysis can justify a smaller share.";

    LegalTrucks "R12" Rate "Legal trucks", FromMemory("23 CFR 650 subpart C and AASHTO Manual for Bridge Evaluation, 6A.4.4.2 and 6A.8; single units legal in at least one state: NYSDOT Engineering Instruction 20-026, read in excerpt"),
        "Every vehicle that is legal in the state may come, whatever vehicles the crossing names. Each that rates below 1 needs a sign, by the main girder or by stringers and cross-members where they are measured; where they are not, it is to confirm. The sign says at least what the crossing accepts, and a bridge that cannot take `posting.close_below_tons` is closed.",
        "Put up the sign that the plan prints, take a stronger car, or take out of `posting.legal_vehicles`, with its law, what the state does not allow."
        eg "Q-08" at "B-11" Caution "SU5 to SU7 need a sign";

    // Grouping --------------------------------------------------------------------------------
    OneSection "G01" Group "One section", CommonPractice,
        "All cars of a deck are of one cross-section design, so that they deflect alike under a truck.",
        "Match cars of one series.";
    CamberSpread "G02" Group "Camber spread", CommonPractice,
        "Largest less smallest camber in the deck is at most `group.camber_tolerance_in`.",
        "Match cars of like camber.";
    CentersSpread "G03" Group "Truck centers alike", CommonPractice,
        "Largest less smallest truck centers in the deck is at most `group.truck_centers_tolerance_ft`, so that the bearings line up along the bolsters.",
        "Match cars of like truck centers.";
    Abreast "G04" Group "Cars abreast", CommonPractice,
        "The number of cars side by side is at most what the crossing allows.",
        "Allow one more car abreast, or take wider cars.";
    WidthLeast "G05" Group "Total width", CommonPractice,
        "Widths of the cars and gaps of the joints add up to at least the clear width with both rails.",
        "One more car abreast or wider cars.";
    WidthMost "G06" Group "Excess width", CommonPractice,
        "The total width is at most the width required plus the rules' allowance: more is dead load and money for nothing.",
        "Narrower cars or fewer of them.";
    JointGap "G07" Group "Joint gap", CommonPractice,
        "The gap between neighbors lies within the range of the joint type.",
        "Another joint type.";
    JointGirders "G08" Group "Girders at the joint", CommonPractice,
        "The shallowest exterior girder of the deck is at least as deep as the joint type needs.",
        "Another joint type or deeper cars.";
    CamberStep "G09" Group "Camber step at a joint", CommonPractice,
        "Difference of camber between neighbors, after ordering the cars across the deck for the smallest steps, is at most `group.camber_step_in`: the joint takes the step up with shims, and wheels feel the rest. A neighbor without a camber is unknown.",
        "Exchange a car, or put one between: three cars step half as far.";
    OneYard "G10" Group "One yard", Ours,
        "The cars of the deck come from one yard, where the crossing asks for it in `keep`.",
        "Ask the dealer for a partner to his cars, or drop the wish.";
    OneSectionAcross "G11" Group "One section on all spans", Ours,
        "The decks of all spans are of one section, where the crossing asks for it in `keep`.",
        "Ask dealers for more cars of the section, or drop the wish.";
    KeptApart "G12" Group "Cars kept apart", Ours,
        "Of cars that have the same name in `apart`, no more than one lies in the deck.",
        "Ask for a partner without that name, or clear the name once the suspicion is.";

    StiffnessSpread "G13" Group "Stiffness alike", CommonPractice,
        "The largest E·I of the deck's main girders is over the smallest by at most `group.stiffness_tolerance_pct`; E is one for all steel, I is from measured plates less their losses. Joined cars deflect together, so each carries the share E·I of it over the sum of all; docs/method.md shows it. Asked of cars with plates; G14 asks the others.",
        "Match cars of one drawing.";
    ModulusSpread "G14" Group "Section modulus alike", CommonPractice,
        "The largest section modulus of the deck's main girders is over the smallest by at most `group.stiffness_tolerance_pct`: where there are no plates it is all there is to tell stiffness by.",
        "Match cars of one drawing; have the main girder's plates measured.";
    DepthSpread "G15" Group "Exterior girders alike", CommonPractice,
        "Deepest less shallowest exterior girder of the deck is at most `group.exterior_depth_tolerance_in`, so that the girders face each other over their depth at the joint.",
        "Match cars of one drawing.";
    LengthSpread "G16" Group "Lengths alike", CommonPractice,
        "Longest less shortest car of the deck is at most `group.length_tolerance_ft`: cars of one drawing are of one length, and decks of unlike length end in steps.",
        "Match cars of one drawing; measure the length over the ends.";
    WebsSpread "G17" Group "Webs alike", CommonPractice,
        "The main girders of the deck have the same number of webs: a girder with one web and a box twist differently under a truck beside the middle.",
        "Match cars of one drawing.";
    WeightSpread "G18" Group "Weight per foot alike", CommonPractice,
        "The largest weight per foot of the deck's cars is over the smallest by at most `group.weight_tolerance_pct`: cars of one drawing weigh alike, so another weight tells of other steel, another deck or a wrong figure.",
        "Weigh the cars; match cars of one drawing.";
    DepthOverAllSpread "G19" Group "Depths over all alike", CommonPractice,
        "Greatest less smallest depth over all of the deck is at most `group.depth_tolerance_in`: cars of one drawing are of one depth.",
        "Match cars of one drawing; measure from the lowest steel to the top of the deck.";
    RideHeightSpread "G20" Group "Ride heights alike", CommonPractice,
        "Greatest less smallest height of the deck over the bearing is at most `group.ride_height_tolerance_in`: the seats are shimmed by the difference, so that decks meet level.",
        "Match cars of like ride height; measure from the underside of the bolsters to the top of the deck.";
    FabricationSpread "G21" Group "Riveted or welded alike", CommonPractice,
        "The main girders of the deck are all riveted or all welded: another make is another drawing, and its joints slip otherwise.",
        "Match cars of one drawing.";

    // Choosing --------------------------------------------------------------------------------
    NoCarFits "C01" Choose "No car fits", Ours,
        "No car on offer passes every check on one of the crossing's spans.",
        "See the nearest miss; ask dealers for the car described there.";
    NoDeckFits "C02" Choose "No group of cars matches", Ours,
        "Single cars pass, but no set of them matches in section, camber and width for every span.",
        "See the nearest miss; ask dealers for a partner to the cars that pass.";
    CarsTaken "C03" Choose "Cars go to other crossings", Ours,
        "A deck exists, but its cars serve other crossings, which are as urgent or more, or together count more points, and no further deck is left.",
        "More cars of the same section.";
    OverBudget "C04" Choose "Over the budget", Ours,
        "The cheapest way to serve this crossing too costs more than the budget leaves.",
        "Raise the budget by the amount stated, or wait.";
    OrderTooSmall "C05" Choose "Minimum order not met", Ours,
        "A deck exists, but a yard that it needs sells no fewer cars at a time than its minimum order, and has too few to make it up.",
        "Ask the dealer to sell fewer, or for more cars.";
    FixedCar "C06" Choose "A car fixed to the crossing", Ours,
        "By decision a car goes to this crossing, and no deck that holds it can be laid there.",
        "Take the decision back, or see what bars the car.";
    OverFund "C07" Choose "Over the fund", Ours,
        "The cheapest way to serve this crossing too takes more of its fund than the fund still has.",
        "Raise the fund by the amount stated, or name another fund for the crossing.";
    NotLookedInto "C08" Choose "Reason not looked into", Ours,
        "Cars pass, and the time limit was reached before it was looked into why the crossing goes without.",
        "Make the plan again with a longer --time-limit, or with none.";
    OtherBridge "C09" Choose "Another bridge is cheaper", Ours,
        "Every flat-car bridge that can be laid here costs more than the other bridge that the crossings file states.",
        "Build the other bridge; or let flat cars cost more with `service.above_other_bridge`.";

    // Verifying -------------------------------------------------------------------------------
    CarsOnce "V01" Verify "Each car once", Ours,
        "No car is placed more often than it is on offer.";
    LotsWhole "V02" Verify "Lots whole", Ours,
        "A lot with a car in the plan is bought whole, at its price; one without, only to make up a minimum order or a price level.";
    CarsSuitable "V03" Verify "Cars suitable", Ours,
        "Every placed car passes every check on its span, asked again.";
    DecksValid "V04" Verify "Decks valid", Ours,
        "Every deck keeps section, camber, width and joint rules, recomputed from the inventory.";
    SpansServed "V05" Verify "Every span decked", Ours,
        "A crossing that is served has a deck on every span of one of its layouts.";
    CostLines "V06" Verify "Cost lines", Ours,
        "Every cost line is as recomputed from the inputs, and no allowed way to load the trailers costs less.";
    Totals "V07" Verify "Totals", Ours,
        "Lines add up to each crossing's cost and to the plan's total, to the cent.";
    WithinBudget "V08" Verify "Within the budget", Ours,
        "What must be paid is at most the budget.";
    BoundHonest "V09" Verify "Bound not above the cost", Ours,
        "The proven lower bound is at most the plan's net cost.";
    LeftOver "V10" Verify "Nothing lost", Ours,
        "Cars bought are cars placed plus cars left over.";
    OrdersKept "V11" Verify "Orders kept", Ours,
        "Every yard's minimum order is met, and its price breaks are taken for the number of cars they ask for.";
    DecisionsKept "V12" Verify "Decisions obeyed", Ours,
        "What is bought is not bought again, what is gone is not placed, what is fixed lies where it must, measured values are those used, and the sum paid already is that of the decisions.";
    WithinFunds "V13" Verify "Within the funds", Ours,
        "The cost lines of the crossings that name a fund add up to no more than the fund may pay.";
    Confirmed "V14" Verify "Firm and to confirm", Ours,
        "A bridge is called firm only if each fact that decides it is enough to pay on; what is to confirm, and the value that each fact must have, are as recomputed from the inputs.";
}
