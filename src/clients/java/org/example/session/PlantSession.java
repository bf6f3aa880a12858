package org.example.session;

import java.math.BigDecimal;
import java.nio.file.Files;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.example.plant.ApiClient;
import org.example.plant.ApiException;
import org.example.plant.ApiResponse;
import org.example.plant.api.AccessApi;
import org.example.plant.api.CapabilityApi;
import org.example.plant.api.ControlPlanApi;
import org.example.plant.api.PlantApi;
import org.example.plant.api.ReadingsApi;
import org.example.plant.api.SpecificationsApi;
import org.example.plant.model.ActorKind;
import org.example.plant.model.AmendmentKind;
import org.example.plant.model.AmendmentRequest;
import org.example.plant.model.Capability;
import org.example.plant.model.CharacteristicKind;
import org.example.plant.model.CharacteristicRequest;
import org.example.plant.model.ChartKind;
import org.example.plant.model.Comparison;
import org.example.plant.model.ComponentKind;
import org.example.plant.model.ComponentRequest;
import org.example.plant.model.ControlPlanRequest;
import org.example.plant.model.InstrumentKind;
import org.example.plant.model.InstrumentRequest;
import org.example.plant.model.Line;
import org.example.plant.model.LineChange;
import org.example.plant.model.LineKind;
import org.example.plant.model.LineRequest;
import org.example.plant.model.Posting;
import org.example.plant.model.Problem;
import org.example.plant.model.Reading;
import org.example.plant.model.ReadingList;
import org.example.plant.model.Result;
import org.example.plant.model.Role;
import org.example.plant.model.SpecificationRequest;
import org.example.plant.model.StationRequest;
import org.example.plant.model.TokenRequest;

/** A short session with the Java client: a tread line is recorded, weighs strips and is asked. */
final class PlantSession {

  private static final int READINGS = 25;

  private final OffsetDateTime start =
      OffsetDateTime.now(ZoneOffset.UTC).truncatedTo(ChronoUnit.MILLIS).minusHours(1);
  private final String base;
  private final ApiClient administrator;

  PlantSession(String base, String token) {
    this.base = base;
    this.administrator = with(token);
  }

  void run() throws Exception {
    AccessApi access = new AccessApi(administrator);
    ApiClient quality =
        with(
            access
                .makeToken(
                    new TokenRequest().name("J-QUALITY").kind(ActorKind.PERSON).role(Role.QUALITY))
                .getText());
    recordPlant(quality);
    changeLine(quality);
    ApiClient station =
        with(
            access
                .makeToken(
                    new TokenRequest()
                        .name("J-W1")
                        .kind(ActorKind.STATION)
                        .role(Role.STATION)
                        .station("J-W1"))
                .getText());
    List<Reading> posted = post(new ReadingsApi(station));
    list(new ReadingsApi(quality), posted);
    postMany(new ReadingsApi(station));
    amend(new ReadingsApi(quality), posted.get(3));
    ask(new CapabilityApi(quality));
    beRefused(new ReadingsApi(station));
  }

  private void recordPlant(ApiClient quality) throws ApiException {
    PlantApi plant = new PlantApi(quality);
    plant.createLine(
        new LineRequest().code("J1").name("Tread line").kind(LineKind.TREAD_EXTRUSION));
    plant.createStation(new StationRequest().code("J-W1").name("Strip scale").line("J1"));
    plant.createInstrument(
        new InstrumentRequest()
            .code("J-S1")
            .name("Scale")
            .station("J-W1")
            .kind(InstrumentKind.SCALE)
            .unit("kg")
            .interval(new BigDecimal("0.001")));
    plant.createComponents("code,name,kind\nJ-114,Tread 114,TREAD_STRIP\n");
    plant.createComponent(
        new ComponentRequest().code("J-115").name("Tread 115").kind(ComponentKind.TREAD_STRIP));
    SpecificationsApi specifications = new SpecificationsApi(quality);
    specifications.createCharacteristic(
        new CharacteristicRequest()
            .code("J-MASS")
            .name("Mass")
            .component("J-114")
            .kind(CharacteristicKind.MEASURED)
            .unit("kg"));
    specifications.recordSpecification(
        "J-MASS",
        new SpecificationRequest()
            .validFrom(start.minusDays(1))
            .lower(new BigDecimal("5.500"))
            .upper(new BigDecimal("5.700"))
            .unit("kg")
            .comparison(Comparison.ABSOLUTE)
            .reason("Drawing"));
    new ControlPlanApi(quality)
        .createControlPlanRow(
            new ControlPlanRequest()
                .code("J-CHART")
                .name("Mass of tread 114")
                .characteristic("J-MASS")
                .line("J1")
                .method("Scale")
                .sampleSize(1)
                .frequency("Each strip")
                .kind(ChartKind.INDIVIDUALS)
                .subgroupSize(1)
                .response("Stop and look"));
  }

  private static void changeLine(ApiClient quality) throws ApiException {
    PlantApi plant = new PlantApi(quality);
    ApiResponse<Line> read = plant.getLineWithHttpInfo("J1");
    Line changed =
        plant.changeLine(
            "J1",
            read.getHeaders().get("etag").get(0),
            new LineChange()
                .name("Tread line 1")
                .kind(read.getData().getKind())
                .retired(false));
    hold(changed.getName().equals("Tread line 1"), "the line has its new name");
  }

  private List<Reading> post(ReadingsApi readings) throws ApiException {
    List<Reading> posted = new ArrayList<>();
    for (int i = 0; i < READINGS; i++) {
      Reading reading = readings.recordReading(posting(i));
      hold(reading.getResult() == Result.PASS, "reading " + i + " passes");
      hold(
          Objects.equals(reading.getValue(), posting(i).getValue()),
          "reading " + i + " has its digits");
      posted.add(reading);
    }
    ApiResponse<Reading> again = readings.recordReadingWithHttpInfo(posting(7));
    hold(again.getStatusCode() == 200, "a repeat is answered with 200");
    hold(again.getData().getId().equals(posted.get(7).getId()), "a repeat is the same reading");
    hold(
        again.getHeaders().get("idempotent-replayed").equals(List.of("true")),
        "a repeat says that it is one");
    return posted;
  }

  private static void list(ReadingsApi readings, List<Reading> posted) throws ApiException {
    List<String> listed = new ArrayList<>();
    String cursor = null;
    do {
      ReadingList page = page(readings, cursor);
      page.getItems().forEach(reading -> listed.add(reading.getId()));
      cursor = page.getCursor();
    } while (cursor != null);
    hold(
        listed.equals(posted.stream().map(Reading::getId).toList()),
        "the pages list each reading once, in order");
    hold(
        readings.getReading(listed.get(4)).equals(posted.get(4)),
        "a reading is read as it was answered");
  }

  private static ReadingList page(ReadingsApi readings, String cursor) throws ApiException {
    return readings.listReadings(
        null, null, null, "J-MASS", null, null, null, null, null, null, null, null, null, null,
        null, null, null, null, null, null, null, null, null, null, null, 10, cursor);
  }

  private void postMany(ReadingsApi readings) throws Exception {
    String lines =
        """
        {"key":"J:B1","station":"J-W1","characteristic":"J-MASS","value":5.612,"unit":"kg","measuredAt":"%1$s"}
        {"key":"J:B2","station":"J-W1","characteristic":"J-MASS","value":5.613,"unit":"kg","measuredAt":"%1$s"}
        """
            .formatted(start.plusMinutes(40));
    List<String> answered = Files.readAllLines(readings.recordReadings(lines).toPath());
    hold(answered.size() == 3, "two lines and the end are answered");
    hold(answered.get(2).contains("\"recorded\":2"), "two readings are recorded: " + answered);
  }

  private static void amend(ReadingsApi readings, Reading reading) throws ApiException {
    readings.amendReading(
        reading.getId(),
        new AmendmentRequest().key("J:A1").kind(AmendmentKind.VOID).reason("Strip was folded"));
    hold(
        readings.listAmendmentsOfReading(reading.getId()).getItems().size() == 1,
        "the reading has one amendment");
  }

  private void ask(CapabilityApi capability) throws ApiException {
    Capability answer =
        capability.studyCapability(
            "J-CHART", null, start.minusMinutes(1), null, null, null, null, true, null, null, null);
    hold(answer.getStudies().size() == 1, "one chart is studied");
    hold(
        answer.getStudies().get(0).getCounts().getReadings() == READINGS + 1,
        "26 readings count, the voided one does not");
    hold(answer.getStudies().get(0).getPpk() != null, "there is a Ppk");
  }

  private void beRefused(ReadingsApi readings) throws ApiException {
    Posting wrong = posting(99).unit("s").station("NO-SUCH");
    try {
      readings.recordReading(wrong);
      hold(false, "a wrong posting is refused");
    } catch (ApiException refused) {
      Problem problem =
          administrator.getObjectMapper().readValue(refused.getResponseBody(), Problem.class);
      hold(
          problem.getStatus() == refused.getCode() && refused.getCode() >= 400,
          "the problem has the status");
      hold(problem.getType().contains("/problems/"), "the problem has the address of its page");
      hold(!problem.getDetail().isBlank(), "the problem says what is wrong");
    }
  }

  private Posting posting(int number) {
    return new Posting()
        .key("J:" + number)
        .station("J-W1")
        .characteristic("J-MASS")
        .sample("J " + number)
        .value(new BigDecimal("5.600").add(BigDecimal.valueOf(number * 7 % 11, 3)))
        .unit("kg")
        .measuredAt(start.plusMinutes(number));
  }

  private ApiClient with(String token) {
    ApiClient client = new ApiClient();
    client.updateBaseUri(base);
    client.setRequestInterceptor(
        request -> request.setHeader("Authorization", "Bearer " + token));
    return client;
  }

  private static void hold(boolean holds, String what) {
    if (!holds) {
      throw new IllegalStateException("It does not hold that " + what);
    }
  }
}
