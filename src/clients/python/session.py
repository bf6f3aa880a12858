"""A short session with the Python client: a tread line is recorded, weighs strips and is asked."""

import importlib
import json
import pkgutil
import sys
from datetime import datetime, timedelta, timezone

import plant
from plant.rest import ApiException

BASE, TOKEN = sys.argv[1:3]
START = datetime.now(timezone.utc) - timedelta(hours=1)


def by(token):
    # Left to itself the client writes offsets as +0000, which is not RFC 3339; the times are UTC.
    return plant.ApiClient(
        plant.Configuration(
            host=BASE, access_token=token, datetime_format="%Y-%m-%dT%H:%M:%S.%fZ"
        )
    )


def hold(holds, what):
    if not holds:
        raise AssertionError(f"It does not hold that {what}")


def posting(number, station="P-W1"):
    return plant.Posting(
        key=f"P:{number}",
        station=station,
        characteristic="P-MASS",
        sample=f"P {number}",
        value=round(5.6 + number * 7 % 11 / 1000, 3),
        unit="kg",
        measured_at=START + timedelta(minutes=number),
    )


for module in pkgutil.walk_packages(plant.__path__, "plant."):
    importlib.import_module(module.name)

access = plant.AccessApi(by(TOKEN))
person = access.make_token(
    plant.TokenRequest(name="P-QUALITY", kind=plant.ActorKind.PERSON, role=plant.Role.QUALITY)
)
quality = by(person.text)

plant_api = plant.PlantApi(quality)
plant_api.create_line(
    plant.LineRequest(code="P1", name="Tread line", kind=plant.LineKind.TREAD_EXTRUSION)
)
plant_api.create_station(plant.StationRequest(code="P-W1", name="Scale", line="P1"))
plant_api.create_instrument(
    plant.InstrumentRequest(
        code="P-S1",
        name="Scale",
        station="P-W1",
        kind=plant.InstrumentKind.SCALE,
        unit="kg",
        interval=0.001,
    )
)
plant_api.create_components("code,name,kind\nP-114,Tread 114,TREAD_STRIP\n")
plant_api.create_component(
    plant.ComponentRequest(code="P-115", name="Tread 115", kind=plant.ComponentKind.TREAD_STRIP)
)
specifications = plant.SpecificationsApi(quality)
specifications.create_characteristic(
    plant.CharacteristicRequest(
        code="P-MASS",
        name="Mass",
        component="P-114",
        kind=plant.CharacteristicKind.MEASURED,
        unit="kg",
    )
)
specifications.record_specification(
    "P-MASS",
    plant.SpecificationRequest(
        valid_from=START - timedelta(days=1),
        lower=5.5,
        upper=5.7,
        unit="kg",
        comparison=plant.Comparison.ABSOLUTE,
        reason="Drawing",
    ),
)
plant.ControlPlanApi(quality).create_control_plan_row(
    plant.ControlPlanRequest(
        code="P-CHART",
        name="Mass of tread 114",
        characteristic="P-MASS",
        line="P1",
        method="Scale",
        sample_size=1,
        frequency="Each strip",
        kind=plant.ChartKind.INDIVIDUALS,
        subgroup_size=1,
        response="Stop and look",
    )
)

terminal = access.make_token(
    plant.TokenRequest(
        name="P-W1", kind=plant.ActorKind.STATION, role=plant.Role.STATION, station="P-W1"
    )
)
posts = plant.ReadingsApi(by(terminal.text))
ids = []
for i in range(25):
    reading = posts.record_reading(posting(i))
    hold(reading.result == plant.Result.PASS, f"reading {i} passes")
    ids.append(reading.id)
again = posts.record_reading_with_http_info(posting(7))
hold(again.status_code == 200, "a repeat is answered with 200")
hold(again.data.id == ids[7], "a repeat is the same reading")

readings = plant.ReadingsApi(quality)
listed = []
cursor = None
while True:
    page = readings.list_readings(characteristic="P-MASS", limit=10, cursor=cursor)
    listed += [reading.id for reading in page.items]
    cursor = page.cursor
    if cursor is None:
        break
hold(listed == ids, "the pages list each reading once, in order")
hold(readings.get_reading(ids[4]).id == ids[4], "a reading is read by its id")

many = "".join(posting(number).to_json() + "\n" for number in (30, 31))
outcomes = posts.record_readings(many).decode().splitlines()
hold(len(outcomes) == 3, "two lines and the end are answered")
hold(json.loads(outcomes[2])["recorded"] == 2, f"two readings are recorded: {outcomes[2]}")

capability = plant.CapabilityApi(quality).study_capability(
    chart="P-CHART", measured_from=START - timedelta(minutes=1), even_if_not_in_control=True
)
hold(len(capability.studies) == 1, "one chart is studied")
hold(capability.studies[0].ppk is not None, "there is a Ppk")

try:
    posts.record_reading(posting(99, station="NO-SUCH"))
    hold(False, "a wrong posting is refused")
except ApiException as refused:
    problem = plant.Problem.from_json(refused.body)
    hold(problem.status == refused.status, "the problem has the status")
    hold(problem.detail, "the problem says what is wrong")
