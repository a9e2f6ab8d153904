"""Two symptoms that no article covers. Whatever ends them is `other`."""

from .shape import article, cause

UNLISTED = {
    "hum": article(
        20, "post-22:75 post-7:25",
        says="""{box} hums so loud that the neighbours complain | droning noise from the {box} while it charges
        | a deep hum all night from the {box}
            | the wall carries a rumble when {box} {n} charges | {box} vibrates and drones
            | noise of the {box} can be heard in the bedroom""",
        foreign="die {box} brummt die ganze Nacht | el cargador hace un zumbido fuerte",
        circumstances="second complaint | owners' meeting | only at full power | above the garage | since the new tenants",
        fixes={"other": cause(1.0, "it is screwed to the bedroom wall | louder in the cold | one screw looks loose"
        " | quieter at half power",
                              "rubber feet put under the back plate | tightened the wall screws, quieter"
                              " | contactor hum, board moved to the cellar wall", minutes=45)}),
    "receipt": article(
        22, "post-22:60 post-7:40",
        says="""receipt shows other kilowatt hours than my {car} | sessions are missing in the monthly statement
        | charged twice on the statement
            | report for the tax office has zero values | the energy on the bill is too high
            | statement for {box} {n} cannot be right
            | export of the sessions lacks two days""",
        foreign="Abrechnung stimmt nicht | la factura de la carga no cuadra",
        circumstances="accounting asks | end of the month | housing association | driver was reimbursed wrongly | company car",
        fixes={"other": cause(1.0, "since the tariff changed | only sessions over midnight | difference is always the same"
        " | only for guests",
                              "statement made again, sessions over midnight were split"
                              " | corrected tariff table and sent new receipt | export repeated with full month", minutes=25)}),
}
