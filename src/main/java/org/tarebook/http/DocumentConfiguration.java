package org.tarebook.http;

import io.swagger.v3.oas.models.Components;
import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.info.Info;
import io.swagger.v3.oas.models.security.SecurityRequirement;
import io.swagger.v3.oas.models.security.SecurityScheme;
import io.swagger.v3.oas.models.servers.Server;
import java.util.List;
import org.springdoc.core.customizers.OpenApiCustomizer;
import org.springdoc.core.providers.ObjectMapperProvider;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;

/** The API document: what is the same for all of it. */
@Configuration(proxyBeanMethods = false)
class DocumentConfiguration {

  static final String TOKEN = "token";

  private static final String PURPOSE =
      """
      Quality records of a tyre plant's shop floor: readings of instruments, judged by the \
      specification in force when they were measured; cures, judged by schedule and physics; control \
      charts and their signals; capability; reject rates.

      **Conventions.** JSON in UTF-8, one spelling of each name everywhere. Unknown members and \
      unknown parameters are refused. Times are RFC 3339 with an offset and are answered in UTC. \
      Decimals are exact and never pass through binary floats. Every value has its unit; another \
      unit of the same kind is converted exactly. A figure that does not exist is absent and says \
      why. Lists are cut in pages: follow `next` until it is absent, or \
      repeat the question with `cursor`. Every refusal is a problem \
      document (RFC 9457) whose `type` is the address of a page that says how to mend it.

      **Access.** Every request but those for this document, the problem pages and the liveness \
      check needs `Authorization: Bearer` and a token. An administrator gives tokens out. The \
      service sends no CORS headers: a browser that asks for a page of another origin (a preflight) \
      gets 403. Other `OPTIONS` requests list the methods of an address in `Allow`.

      **Cautions.** The record is no interlock: no answer opens a press, releases a vessel or \
      frees a tyre for the road. It is no legal-metrology device: weights for trade need verified \
      instruments. Presses and vulcanisers are pressure vessels: local codes and licensed practice \
      govern their operation, whatever is recorded here.
      """;

  @Bean
  OpenAPI openApi(@Value("${tarebook.version}") String version) {
    return new OpenAPI()
        .info(new Info().title("Tarebook").description(PURPOSE).version(version))
        .servers(List.of(new Server().url("/").description("Where this document was read")))
        .components(
            new Components()
                .addSecuritySchemes(
                    TOKEN,
                    new SecurityScheme()
                        .type(SecurityScheme.Type.HTTP)
                        .scheme("bearer")
                        .description("A token that an administrator made, beginning with tb_.")))
        .addSecurityItem(new SecurityRequirement().addList(TOKEN));
  }

  @Bean
  RecordSchemas recordSchemas(ObjectMapperProvider mappers) {
    return new RecordSchemas(mappers.jsonMapper());
  }

  /** One after the other: what comes later reads what came before. */
  @Bean
  OpenApiCustomizer document(
      @Qualifier("requestMappingHandlerMapping") RequestMappingHandlerMapping mapping,
      OperationRoles roles) {
    List<OpenApiCustomizer> parts =
        List.of(
            new DocumentedOperations(mapping),
            new DocumentedRoles(roles),
            new DocumentedProblems(),
            new DocumentedTags(),
            new DocumentedParameters(),
            new PortableSchemas());
    return document -> parts.forEach(part -> part.customise(document));
  }
}
