//! Many faults in one file, all found in one run and told in the order of the file.

use crate::read::county::of_inventory;

#[test]
fn twelve_faults_of_one_file_come_in_order() {
    let text = "\
car,dealer,yard,color,length_ft,truck_centers_ft,width_ft,year_built,price_usd,main_girder,deck,deck_condition,available
D-1,Drumfell Reclaim,Uper Drum,,60,46,9,1971,5000,sound,,,now
D-2,Drumfell Reclaim,Upper Drum,,60 ft,46,9,1971,5000,sound,,,now
D-3,Drumfell Reclaim,Upper Drum,,60,60,9,1971,5000,sound,,,now
D-1,Drumfell Reclaim,Upper Drum,,60,46,109,1871.5,\"5,000\",good,,,now
,Drumfell Reclaim,Upper Drum,,60,46,9,1971,5000,corroded,,,soon
D-6,Drumfell Reclaim,Upper Drum,,60,46,9,1971,5000,sound
D-7,Drumfell Reclaim,Upper Drum,,60,46,9,1971,5000,sound,none,sound,now
";
    let expected = "\
cars.csv:1:17: D03 `color` is not a column of such a file; write a name of docs/formats.md, or `x_color` to carry it unread
cars.csv:2:22: D09 yard: `Uper Drum` is not a yard of Drumfell Reclaim in the yards file; write Upper Drum if that is meant, or add the yard
cars.csv:3:34: D04 length_ft: `60 ft` has a unit or words behind the number; write digits and a decimal point, in feet
cars.csv:4:37: D12 truck_centers_ft: `60` is not less than the length over ends, 60 ft; measure both again
cars.csv:5:1: D08 car: `D-1` is a car that Drumfell Reclaim lists already at cars.csv:2; give each car its own ID, or merge identical cars into one row with a quantity
cars.csv:5:40: D05 width_ft: `109` is outside 5 to 14 ft; correct it; is it the length, or in inches?
cars.csv:5:44: D04 year_built: `1871.5` is not a whole number; write digits only
cars.csv:5:51: D04 price_usd: `5,000` has a comma in the number; write digits and a decimal point, in US dollars, without thousands separators
cars.csv:5:59: D06 main_girder: `good` is not a condition; write sound, bent, cracked, corroded N or missing, or leave the cell blank where it was not inspected
cars.csv:6:1: D10 car: the cell is blank; write a name
cars.csv:6:49: D06 main_girder: `corroded` does not say how much is lost; write the greatest loss of thickness in per cent, like corroded 8
cars.csv:6:60: D07 available: `soon` is not a date; write now, or a day like 2026-05-31, or leave the cell blank
cars.csv:7:57: D11 the row has 10 cells and the header has 13; give the row as many cells as the header, and quote cells with commas
cars.csv:8:63: D12 deck_condition: `sound` is the condition of a deck, and the cell deck says none; correct one of the two, or leave this cell blank";
    let found = of_inventory(text);
    assert_eq!(found.join("\n"), expected);
}
