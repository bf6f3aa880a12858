package org.tarebook.check;

import static org.springframework.test.web.servlet.request.MockMvcRequestBuilders.get;

import java.net.URI;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicInteger;
import org.springframework.boot.test.context.TestConfiguration;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Primary;
import org.springframework.core.MethodParameter;
import org.springframework.http.MediaType;
import org.springframework.mock.web.MockHttpServletResponse;
import org.springframework.test.web.servlet.MockMvc;
import org.springframework.test.web.servlet.request.MockHttpServletRequestBuilder;
import org.springframework.test.web.servlet.request.MockMvcRequestBuilders;
import org.springframework.web.bind.support.WebDataBinderFactory;
import org.springframework.web.context.request.NativeWebRequest;
import org.springframework.web.context.request.RequestAttributes;
import org.springframework.web.method.support.HandlerMethodArgumentResolver;
import org.springframework.web.method.support.ModelAndViewContainer;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;
import org.tarebook.audit.Actor;
import org.tarebook.plant.Instrument;
import org.tarebook.spec.JudgedReadings;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** A line with one station and one instrument of its own, and what is posted there. */
final class CheckBench {

  /** A person who may post anywhere. */
  static final Actor PERSON = new Actor("m.one", Actor.Kind.PERSON, null);

  private static final AtomicInteger NUMBER = new AtomicInteger();

  private final MockMvc mvc;
  private final String number = String.valueOf(NUMBER.incrementAndGet());

  private CheckBench(MockMvc mvc) {
    this.mvc = mvc;
  }

  /** A line and station with an instrument, described by further members of its request. */
  static CheckBench with(MockMvc mvc, String instrumentMembers) {
    CheckBench bench = new CheckBench(mvc);
    bench.make("lines", "{'code':'L-#','name':'a line','kind':'TREAD_EXTRUSION'}");
    bench.make("stations", "{'code':'S-#','name':'a station','line':'L-#'}");
    bench.instrument("I-#", instrumentMembers);
    return bench;
  }

  /** A plain scale in kilograms with a control-plan row that permits an error. */
  static CheckBench withPlannedScale(MockMvc mvc, String checkingMembers) {
    CheckBench bench = with(mvc, "'kind':'SCALE','unit':'kg'");
    bench.planRow("P-#", "kg", checkingMembers);
    return bench;
  }

  void instrument(String code, String members) {
    make("instruments", "{'code':'" + code + "','name':'one','station':'S-#'," + members + "}");
  }

  void planRow(String code, String unit, String checkingMembers) {
    make("components", "{'code':'K-" + code + "','name':'a tread','kind':'TREAD_STRIP'}");
    make(
        "characteristics",
        ("{'code':'X-%s','name':'what is measured','component':'K-%s','kind':'MEASURED','unit':'%s'}")
            .formatted(code, code, unit));
    make(
        "control-plan",
        "{'code':'"
            + code
            + "','name':'a row','characteristic':'X-"
            + code
            + "','line':'L-#','method':'scale','sampleSize':1,'frequency':'each',"
            + "'kind':'INDIVIDUALS','subgroupSize':1,'response':'stop'"
            + (checkingMembers.isEmpty() ? "" : "," + checkingMembers)
            + "}");
  }

  /** Texts with # stand for this bench's number, single quotes for double ones. */
  String fill(String text) {
    return text.replace("#", number).replace('\'', '"');
  }

  Actor station() {
    return new Actor(fill("token-#"), Actor.Kind.STATION, fill("S-#"));
  }

  /** A check of the bench's instrument against 10.0002 kg. */
  Answer check(String key, String checkedAt, String phases) {
    return check(key, checkedAt, "'standardValue':10.0002,'unit':'kg'," + phases, station());
  }

  Answer check(String key, String checkedAt, String members, Actor actor) {
    return post(
        "{'key':'%s','instrument':'I-#','checkedAt':'%s','standard':'weight A','certificate':'C-1',%s}"
            .formatted(key, checkedAt, members),
        actor);
  }

  Answer post(String body, Actor actor) {
    return send("instrument-checks", body, actor);
  }

  Answer read(String address) {
    return answer(get(URI.create(fill(address))));
  }

  private void make(String place, String body) {
    Answer answer = send(place, body, PERSON);
    if (answer.status() != 201) {
      throw new IllegalStateException(answer.toString());
    }
  }

  private Answer send(String place, String body, Actor actor) {
    return answer(
        MockMvcRequestBuilders.post("/api/v1/" + place)
            .contentType(MediaType.APPLICATION_JSON)
            .content(fill(body))
            .requestAttr("actor", actor));
  }

  private Answer answer(MockHttpServletRequestBuilder request) {
    try {
      MockHttpServletResponse response = mvc.perform(request).andReturn().getResponse();
      return new Answer(
          response.getStatus(),
          response.getHeader("Idempotent-Replayed"),
          response.getHeader("Location"),
          new JsonMapper().readTree(response.getContentAsString()));
    } catch (Exception failure) {
      throw new IllegalStateException(failure);
    }
  }

  /** What was answered. */
  record Answer(int status, String replayed, String location, JsonNode body) {

    String text(String member) {
      JsonNode value = body.at("/" + member.replace('.', '/'));
      return value.isMissingNode() ? null : value.asString();
    }
  }

  /** The readings' side, which notes what it was told. */
  static final class Followers implements DoubtedReadings, JudgedReadings {

    final List<String> told = new CopyOnWriteArrayList<>();
    volatile RuntimeException failure;

    @Override
    public long doubtsChanged(Instrument instrument, Instant from, Instant before) {
      if (failure != null) {
        throw failure;
      }
      told.add(instrument.code() + " " + from + " " + before);
      return 7;
    }

    @Override
    public void lock(long characteristicId) {}

    @Override
    public long count(long characteristicId, Instant from, Instant before) {
      return 0;
    }

    @Override
    public long judgeAgain(long characteristicId, Instant from, Instant before, String cause) {
      return 0;
    }
  }

  /** A clock that stands still until it is set. */
  static final class StoppedClock extends Clock {

    volatile Instant now = Instant.parse("2026-03-02T20:00:00Z");

    @Override
    public Instant instant() {
      return now;
    }

    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }
  }

  /** What other features will bring: the readings' side, and who acts. */
  @TestConfiguration(proxyBeanMethods = false)
  static class Surroundings {

    @Bean
    @Primary
    Followers followers() {
      return new Followers();
    }

    @Bean
    @Primary
    StoppedClock stoppedClock() {
      return new StoppedClock();
    }

    @Bean
    WebMvcConfigurer actors() {
      return new WebMvcConfigurer() {
        @Override
        public void addArgumentResolvers(List<HandlerMethodArgumentResolver> resolvers) {
          resolvers.add(0, new ActorOfTheTest());
        }
      };
    }
  }

  private static final class ActorOfTheTest implements HandlerMethodArgumentResolver {

    @Override
    public boolean supportsParameter(MethodParameter parameter) {
      return parameter.getParameterType() == Actor.class;
    }

    @Override
    public Object resolveArgument(
        MethodParameter parameter,
        ModelAndViewContainer container,
        NativeWebRequest request,
        WebDataBinderFactory factory) {
      return request.getAttribute("actor", RequestAttributes.SCOPE_REQUEST);
    }
  }
}
