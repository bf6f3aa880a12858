package org.tarebook.http;

import io.swagger.v3.oas.annotations.Hidden;
import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.Operation;
import io.swagger.v3.oas.models.PathItem;
import io.swagger.v3.oas.models.headers.Header;
import io.swagger.v3.oas.models.media.Content;
import io.swagger.v3.oas.models.media.Schema;
import io.swagger.v3.oas.models.media.StringSchema;
import io.swagger.v3.oas.models.parameters.Parameter;
import io.swagger.v3.oas.models.parameters.RequestBody;
import io.swagger.v3.oas.models.responses.ApiResponse;
import io.swagger.v3.oas.models.responses.ApiResponses;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.springdoc.core.customizers.OpenApiCustomizer;
import org.springframework.core.MethodParameter;
import org.springframework.core.annotation.AnnotatedElementUtils;
import org.springframework.core.annotation.MergedAnnotations;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.RequestMethod;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.mvc.method.RequestMappingInfo;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;

/**
 * Makes operations the same on every machine: one operation for one address that answers in several
 * forms, 201 where a thing is made, and ETags.
 */
class DocumentedOperations implements OpenApiCustomizer {

  private static final Comparator<Way> ORDER =
      Comparator.comparing((Way way) -> way.words().hidden())
          .thenComparing(Way::ofLines)
          .thenComparing(Way::id);

  private final RequestMappingHandlerMapping mapping;

  DocumentedOperations(RequestMappingHandlerMapping mapping) {
    this.mapping = mapping;
  }

  /** One way to call an address: a method of a controller, and the forms it takes and gives. */
  private record Way(HandlerMethod handler, Set<String> bodies, Set<String> answers) {

    static Way of(RequestMappingInfo info, HandlerMethod handler) {
      return new Way(
          handler,
          names(info.getConsumesCondition().getConsumableMediaTypes()),
          names(info.getProducesCondition().getProducibleMediaTypes()));
    }

    private static Set<String> names(Set<MediaType> forms) {
      return forms.stream().map(MediaType::toString).collect(Collectors.toCollection(TreeSet::new));
    }

    boolean ofLines() {
      return !bodies.isEmpty() && !bodies.contains(MediaType.APPLICATION_JSON_VALUE);
    }

    String id() {
      String id = words().operationId();
      if (id.isEmpty()) {
        throw new IllegalStateException(handler + " needs @Operation(operationId = ...)");
      }
      return id;
    }

    io.swagger.v3.oas.annotations.Operation words() {
      io.swagger.v3.oas.annotations.Operation words =
          AnnotatedElementUtils.findMergedAnnotation(
              handler.getMethod(), io.swagger.v3.oas.annotations.Operation.class);
      if (words == null) {
        throw new IllegalStateException(handler + " has no @Operation that says what it does");
      }
      return words;
    }

    /** Whether it writes its answer itself, form by form. */
    boolean streams() {
      return handler.getMethod().getReturnType() == void.class;
    }

    /** Whether its body is one fact with a key of the sender's own. */
    boolean takesKey() {
      return Arrays.stream(handler.getMethodParameters())
          .filter(
              parameter ->
                  parameter.hasParameterAnnotation(
                      org.springframework.web.bind.annotation.RequestBody.class))
          .map(MethodParameter::getParameterType)
          .filter(Class::isRecord)
          .flatMap(type -> Arrays.stream(type.getDeclaredFields()))
          .anyMatch(member -> member.isAnnotationPresent(FactKey.class));
    }

    boolean lists() {
      return handler.getMethod().getReturnType() == Page.class;
    }

    /** Whether no annotation says with what status it answers. */
    boolean decidesItsStatus() {
      return ResponseEntity.class.isAssignableFrom(handler.getMethod().getReturnType())
          && MergedAnnotations.from(handler.getMethod()).stream(
                  io.swagger.v3.oas.annotations.responses.ApiResponse.class)
              .findAny()
              .isEmpty();
    }
  }

  @Override
  public void customise(OpenAPI document) {
    Map<String, List<Way>> ways = ways();
    document
        .getPaths()
        .forEach(
            (path, item) -> {
              item.readOperationsMap()
                  .forEach(
                      (method, operation) -> {
                        List<Way> known = ways.get(method + " " + path);
                        if (known != null) {
                          describe(operation, method, known);
                        }
                      });
              describeVersions(item);
            });
  }

  private Map<String, List<Way>> ways() {
    Map<String, List<Way>> ways = new TreeMap<>();
    mapping
        .getHandlerMethods()
        .forEach(
            (info, handler) -> {
              for (String path : info.getPatternValues()) {
                for (RequestMethod method : info.getMethodsCondition().getMethods()) {
                  if (!handler.getBeanType().isAnnotationPresent(Hidden.class)) {
                    ways.computeIfAbsent(method + " " + path, key -> new ArrayList<>())
                        .add(Way.of(info, handler));
                  }
                }
              }
            });
    ways.values().forEach(list -> list.sort(ORDER));
    return ways;
  }

  private static void describe(Operation operation, PathItem.HttpMethod method, List<Way> ways) {
    Way first = ways.get(0);
    operation.setOperationId(first.id());
    takeNoNull(operation);
    operation.setSummary(first.words().summary());
    operation.setDescription(first.words().description().strip());
    ways.stream().filter(Way::ofLines).forEach(way -> takeLines(operation, way));
    if (method == PathItem.HttpMethod.POST && first.decidesItsStatus()) {
      answerCreated(operation.getResponses());
    }
    if (first.takesKey()) {
      takeKey(operation);
    }
    if (first.handler().hasMethodAnnotation(RetrySafe.class)) {
      answerRepeats(operation.getResponses());
    }
    if (first.lists()) {
      answerPages(operation.getResponses());
    }
    ways.stream().filter(Way::streams).forEach(way -> answerStream(operation.getResponses(), way));
  }

  /** A parameter is left out, never null. */
  private static void takeNoNull(Operation operation) {
    if (operation.getParameters() != null) {
      operation.getParameters().stream()
          .map(Parameter::getSchema)
          .filter(schema -> schema != null && schema.getTypes() != null)
          .forEach(schema -> schema.getTypes().remove("null"));
    }
  }

  private static void takeLines(Operation operation, Way way) {
    if (operation.getRequestBody() == null) {
      operation.setRequestBody(new RequestBody().required(true).content(new Content()));
    }
    Content content = operation.getRequestBody().getContent();
    for (String form : way.bodies()) {
      content.putIfAbsent(form, new io.swagger.v3.oas.models.media.MediaType().schema(text()));
    }
  }

  /** The header that stands in for the key in a body. */
  private static void takeKey(Operation operation) {
    operation.addParametersItem(
        new Parameter()
            .in("header")
            .name(KeyReader.HEADER)
            .required(false)
            .description(
                "For senders whose keys are made on the way: it stands in for the member key, which may"
                    + " then be left out; where both are sent they must be the same.")
            .schema(text()));
  }

  /** Where the annotations say nothing, what is posted is made. */
  private static void answerCreated(ApiResponses responses) {
    ApiResponse only = responses.remove("200");
    if (only != null) {
      responses.putIfAbsent("201", only.description("Created"));
    }
  }

  private static void answerRepeats(ApiResponses responses) {
    ApiResponse made = responses.get("201");
    ApiResponse repeated =
        new ApiResponse()
            .description("The same fact again: it was on record, and is answered as it stands.")
            .addHeaderObject(
                RetrySafe.REPLAYED, new Header().description("true for a repeat.").schema(text()));
    if (made != null && made.getContent() != null) {
      Content content = new Content();
      made.getContent().forEach(content::addMediaType);
      repeated.setContent(content);
    }
    responses.putIfAbsent("200", repeated);
  }

  /** A page is answered as CSV too, and names the next in a header. */
  private static void answerPages(ApiResponses responses) {
    ApiResponse page = Objects.requireNonNull(responses.get("200"));
    page.getContent()
        .putIfAbsent("text/csv", new io.swagger.v3.oas.models.media.MediaType().schema(text()));
    page.addHeaderObject(
        HttpHeaders.LINK,
        new Header()
            .description("The address of the next page, with rel=\"next\"; absent on the last.")
            .schema(text()));
  }

  private static void answerStream(ApiResponses responses, Way way) {
    ApiResponse answer =
        responses.computeIfAbsent("200", status -> new ApiResponse().description("OK"));
    if (answer.getContent() == null) {
      answer.setContent(new Content());
    }
    ApiResponse made = responses.get("201");
    for (String form : way.answers()) {
      if (made != null && made.getContent() != null) {
        made.getContent().remove(form);
      }
      answer
          .getContent()
          .putIfAbsent(form, new io.swagger.v3.oas.models.media.MediaType().schema(text()));
    }
  }

  private static void describeVersions(PathItem item) {
    if (item.getPut() == null || item.getPut().getParameters() == null) {
      return;
    }
    item.getPut().getParameters().stream()
        .filter(parameter -> "If-Match".equals(parameter.getName()))
        .forEach(
            parameter -> {
              parameter.required(true).description("The ETag that was read before.");
              Stream.of(item.getGet(), item.getPut())
                  .filter(operation -> operation != null)
                  .map(operation -> operation.getResponses().get("200"))
                  .filter(response -> response != null)
                  .forEach(
                      response ->
                          response.addHeaderObject(
                              "ETag",
                              new Header()
                                  .description("The version, for If-Match.")
                                  .schema(text())));
            });
  }

  private static Schema<?> text() {
    Schema<?> schema = new StringSchema();
    schema.addType("string");
    return schema;
  }
}
