package org.tarebook.http;

import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.Operation;
import io.swagger.v3.oas.models.PathItem.HttpMethod;
import io.swagger.v3.oas.models.headers.Header;
import io.swagger.v3.oas.models.media.ArraySchema;
import io.swagger.v3.oas.models.media.Content;
import io.swagger.v3.oas.models.media.IntegerSchema;
import io.swagger.v3.oas.models.media.MediaType;
import io.swagger.v3.oas.models.media.ObjectSchema;
import io.swagger.v3.oas.models.media.Schema;
import io.swagger.v3.oas.models.media.StringSchema;
import io.swagger.v3.oas.models.parameters.Parameter;
import io.swagger.v3.oas.models.responses.ApiResponse;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.springdoc.core.customizers.OpenApiCustomizer;
import org.springframework.http.HttpStatus;

/** Tells with every operation the refusals it can answer, each in the one form of a problem. */
class DocumentedProblems implements OpenApiCustomizer {

  private static final String PROBLEM = "#/components/schemas/Problem";

  @Override
  public void customise(OpenAPI document) {
    document.getComponents().addSchemas("Problem", problem()).addSchemas("Fault", fault());
    SortedSet<Integer> told = new TreeSet<>();
    document
        .getPaths()
        .forEach(
            (path, item) ->
                item.readOperationsMap()
                    .forEach(
                        (method, operation) -> {
                          for (int status : statuses(path, method, operation)) {
                            told.add(status);
                            operation
                                .getResponses()
                                .addApiResponse(
                                    Integer.toString(status),
                                    new ApiResponse()
                                        .$ref("#/components/responses/" + name(status)));
                          }
                        }));
    told.forEach(status -> document.getComponents().addResponses(name(status), answer(status)));
  }

  private static SortedSet<Integer> statuses(String path, HttpMethod method, Operation operation) {
    SortedSet<Integer> statuses = new TreeSet<>(List.of(400, 401, 403, 406, 429, 500, 503));
    if (path.contains("{")) {
      statuses.add(404);
    }
    if (method == HttpMethod.POST || method == HttpMethod.PUT) {
      statuses.addAll(List.of(409, 422));
    }
    if (parameters(operation).anyMatch(DocumentedProblems::asks)) {
      statuses.add(422);
    }
    if (operation.getRequestBody() != null) {
      statuses.addAll(List.of(413, 415));
    }
    if (parameters(operation).anyMatch(parameter -> "If-Match".equals(parameter.getName()))) {
      statuses.addAll(List.of(412, 428));
    }
    return statuses;
  }

  private static Stream<Parameter> parameters(Operation operation) {
    return operation.getParameters() == null ? Stream.empty() : operation.getParameters().stream();
  }

  /** Whether a parameter asks a question, which may name what is not known. */
  private static boolean asks(Parameter parameter) {
    return "query".equals(parameter.getIn())
        && !List.of("limit", "cursor").contains(parameter.getName());
  }

  private static String name(int status) {
    return "Problem" + status;
  }

  private static ApiResponse answer(int status) {
    String types =
        Stream.of(ProblemType.values())
            .filter(type -> type.status().value() == status)
            .map(type -> "`" + type.slug() + "`: " + type.title() + ".")
            .collect(Collectors.joining(" "));
    ApiResponse answer =
        new ApiResponse()
            .description(types)
            .content(
                new Content()
                    .addMediaType(
                        org.springframework.http.MediaType.APPLICATION_PROBLEM_JSON_VALUE,
                        new MediaType().schema(new Schema<>().$ref(PROBLEM))));
    if (status == HttpStatus.UNAUTHORIZED.value()) {
      answer.addHeaderObject("WWW-Authenticate", header("The scheme that is taken: Bearer."));
    } else if (status == HttpStatus.SERVICE_UNAVAILABLE.value()
        || status == HttpStatus.TOO_MANY_REQUESTS.value()) {
      answer.addHeaderObject("Retry-After", header("Seconds until it is worth trying again."));
    }
    return answer;
  }

  private static Header header(String description) {
    return new Header().description(description).schema(typed(new StringSchema(), "string"));
  }

  private static Schema<?> problem() {
    Schema<?> errors =
        typed(new ArraySchema(), "array")
            .items(new Schema<>().$ref("#/components/schemas/Fault"))
            .description("Every fault of the request, where it has places.");
    Schema<?> schema = typed(new ObjectSchema(), "object");
    schema.addProperty(
        "type", text("The kind of refusal, and the address of the page that explains it."));
    schema.addProperty("title", text("What every problem of this kind is called."));
    schema.addProperty("status", number("The status of the answer."));
    schema.addProperty("detail", text("What is wrong in this case, and what would be accepted."));
    schema.addProperty("instance", text("The address that was asked."));
    schema.addProperty("errors", errors);
    schema.setRequired(List.of("type", "title", "status", "detail"));
    schema.setDescription("A refusal (RFC 9457).");
    return schema;
  }

  private static Schema<?> fault() {
    Schema<?> schema = typed(new ObjectSchema(), "object");
    schema.addProperty(
        "pointer", text("A JSON pointer into the body, or the parameter, header or column."));
    schema.addProperty("detail", text("What is wrong there, and what would be accepted."));
    schema.addProperty("line", number("The line of the body, from 1, where the body has lines."));
    schema.setRequired(List.of("pointer", "detail"));
    schema.setDescription("One fault of a request.");
    return schema;
  }

  private static Schema<?> text(String description) {
    return typed(new StringSchema(), "string").description(description);
  }

  private static Schema<?> number(String description) {
    return typed(new IntegerSchema(), "integer").description(description);
  }

  /** OpenAPI 3.1 writes the set of types, which the schema's own constructor leaves empty. */
  private static Schema<?> typed(Schema<?> schema, String type) {
    schema.addType(type);
    return schema;
  }
}
